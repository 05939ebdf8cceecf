//! What the plan's figures come from, and what can hurt.

/// Sources, assumptions and cautions.
pub(crate) const NOTES: &str = "
Sources and assumptions
  Volume is kept exactly. Crops, scale, grinding, saw cuts and heats come from [forging]: common practice unless you
  give your own. Twist is geometry. Torque is that of a fully plastic square bar by its mean carbon, 1100 to 900 °C,
  0.1 to 1 /s: Shida 1969, a tenth either way, a third softer over 0.9 % carbon (Mauk). The wrench is for two hands
  of 150 N each. Corners that stretch by more than 150 % are marked: that is more than two turns in 50 mm do to a 12
  mm bar (common practice). The column `chamfered` is the same for corners first chamfered by a tenth of the side.
  The tip preform has the same area as the point, column by column. Clock: radiation and free convection of oxidised
  steel (Incropera, from memory), heat content by EN 1993-1-2. Blows: the same flow stress at 10 to 50 /s; 40 to 80 %
  of each blow of 40 J deforms the steel (common practice). Hot lengths: EN 1993-1-2 heating up; austenite cooling
  shrinks by 23 millionths a kelvin (from memory). Skin: a surface without carbon in all the stack's heats, 2 min at
  1000 °C each (common practice), receding by their scale; diffusion by Ågren 1986. Lift by the bevels: thinning of
  each height of the forged section against its thickest, held plane; the share is yours, laws for flat dies do not
  tell it.
  Ac1, Ac3: Andrews 1965; no Ac3 is given above 0.77 % carbon. Bands to forge, normalise and harden are published
  ones, those of your own [[steel]] tables first; a ? marks those from memory or calculated (Ac3 + 20 to 50 °C to
  harden, + 40 to 80 to normalise, common practice): try them on a coupon. Ms: the carbon in solution at the
  hardening heat (Acm of the iron-carbon diagram), by Andrews up to 0.6 %, by van Bohemen 2012 and Ingber and Kunert
  2022 beyond. Austenite left at 20 °C: Koistinen and Marburger 1959. Hardness: published curves, straight between
  their points; time by Hollomon and Jaffe with K = 21.3 - 5.8 C. Two sheets for one steel differ by up to 3 HRC.
  Carbon between layers: Ågren 1986, other sources within a factor of 1.6; welds and times common practice. Lower
  second and third heats, soaking and tempering times: common practice; warming in a kiln by the clock's law.
  Hardness as quenched: ASTM A255 (from memory). Growth: Lement 1959 (from memory), half of it on a maker's sheet.
  Bath: oil of 0.87 kg/L and 1.97 kJ/kgK (MacKenzie; Gear Solutions), heat content by EN 1993-1-2; temperatures of
  the oil common practice, its data sheet comes first; flash point by 29 CFR 1910.126(a)(2). Depth of hardening is
  not given: the standard for it (ASTM A255) does not cover most blade steels.

Cautions
  Forge gas makes carbon monoxide: fresh air, a vent to the outside, an alarm. Hot oil catches fire: keep a metal lid
  ready, no water near it, no furnace or flame beside it, and a floor that can't burn under it. Looking into the fire
  wants infrared filters (EN 171 code 4, ANSI Z87.1 shade). Zinc fumes make ill: never heat galvanised steel. Nickel
  dust, silica and fibre dust of linings harm the lungs. Flux, scale and etchants hurt eyes and skin: wear glasses and
  gloves, and ventilate. Grinding dust and noise: breathing and ear protection. Twisting and welding throw hot steel.
  Finished edges cut. Follow your local rules, the data sheets of your materials, and licensed practice where they ask
  for it.
";
