// The pad.
let places = [];
let quantities = [];
let place = -1;
const hung = what => ['clamped weight', 'balance with weights', 'support'].includes(what);
const numbers = what => !['weight', 'balance', 'balance with weights', 'hardness', 'tempered'].includes(what);
const heights = what => ['thickness', 'right', 'left'].includes(what);
const load = async () => {
  for (;;) {
    try {
      const got = await ask('/places');
      if (got.ok) {
        const found = await got.json();
        places = found.places;
        quantities = found.quantities;
        live.dataset.unit = found.unit;
        live.dataset.mass = found.mass;
        break;
      }
    } catch { /* asked again */ }
    await sleep(1000);
  }
  at('what').append(...quantities.map(what => make('option', what)));
  go(0);
};
const go = to => {
  place = Math.max(0, Math.min(places.length - 1, to));
  const p = places[place];
  at('what').value = p.what;
  at('station').value = p.station;
  at('height').value = p.height;
  fields();
};
const fields = () => {
  const what = at('what').value;
  const show = (id, wanted) => {
    at(id).closest('label').hidden = !wanted;
    if (!wanted) at(id).value = '';
  };
  show('station', numbers(what));
  show('height', heights(what));
  const units = { weight: live.dataset.mass, 'clamped weight': live.dataset.mass, support: live.dataset.mass, hardness: 'HRC', tempered: 'degrees', twist: 'degrees' };
  at('unit').textContent = units[what] || live.dataset.unit;
  const p = places.find(p => p.what === what && p.station === at('station').value.trim() && p.height === at('height').value.trim());
  place = p ? places.indexOf(p) : place;
  const planned = p && p.planned.some(Boolean) ? `Planned: forged ${p.planned[0]}, ground ${p.planned[1]}, finished ${p.planned[2]}.` : '';
  at('planned').textContent = [planned, p && p.note].filter(Boolean).join(' ');
  showHere();
};
const basket = [];
const row = () => ({
  stage: at('stage').value, station: at('station').value.trim(), what: at('what').value, height: at('height').value.trim(),
  measured: at('value').value.trim(), sure: at('sure').checked ? 'yes' : '',
});
const send = rows => queue('/reading', { id: newId(), ...stamp(), rows });
const keep = () => {
  if (!at('value').value.trim()) {
    at('value').focus();
    return;
  }
  const kept = row();
  if (hung(kept.what)) {
    basket.push(kept);
    showBasket();
  } else {
    send([kept]);
  }
  at('value').value = '';
  at('sure').checked = false;
  if (place >= 0 && place + 1 < places.length) go(place + 1);
  last = kept;
  showHere();
};
const showBasket = () => {
  at('basket').hidden = basket.length === 0;
  at('basket').querySelector('ul').replaceChildren(...basket.map(r => make('li', told(r))));
};
const press = key => {
  const value = at('value');
  if (key === 'back') value.value = value.value.slice(0, -1);
  else if (key === 'clear') value.value = '';
  else if (value.value.length < 20) value.value += key;
};
