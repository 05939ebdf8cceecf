// The live part of the page: readings, steps and timers. What is typed is kept on this phone until the laptop has it.
(() => {
'use strict';
const live = document.getElementById('live');
if (!live) return;
const bench = live.dataset.bench;
const at = id => document.getElementById(id);
const make = (name, text, on) => {
  const e = document.createElement(name);
  if (text) e.textContent = text;
  if (on) e.addEventListener('click', on);
  if (name === 'button') e.type = 'button';
  return e;
};
const sleep = ms => new Promise(done => setTimeout(done, ms));

// Ids and times are this phone's.
const newId = () => Array.from(crypto.getRandomValues(new Uint8Array(16)), b => b.toString(16).padStart(2, '0')).join('');
const two = n => String(n).padStart(2, '0');
const stamp = () => {
  const d = new Date();
  return { date: `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())}`, time: `${two(d.getHours())}:${two(d.getMinutes())}:${two(d.getSeconds())}` };
};

// Each thing to send stands by itself in the phone's store, so that two pages of one phone don't overwrite each other.
const WAITING = `bench-waiting:${bench}:`;
const spare = new Map();
const store = {
  put(key, value) { try { localStorage.setItem(key, value); } catch { spare.set(key, value); } },
  get(key) { try { return localStorage.getItem(key) ?? spare.get(key) ?? null; } catch { return spare.get(key) ?? null; } },
  drop(key) { spare.delete(key); try { localStorage.removeItem(key); } catch { /* it was never there */ } },
  keys(start) {
    let keys = [...spare.keys()];
    try { keys = keys.concat(Object.keys(localStorage)); } catch { /* no store: what waits is in memory */ }
    return keys.filter(key => key.startsWith(start)).sort();
  },
};
let counted = 0;
const queue = (path, sent) => {
  counted += 1;
  const place = `${String(Date.now()).padStart(15, '0')}-${String(counted).padStart(6, '0')}`;
  store.put(`${WAITING}${place}-${sent.id}`, JSON.stringify({ path, sent }));
  showLine();
  flush();
};

// The line to the laptop.
let online = null;
let stopped = '';
let state = null;
const ask = async (path, options = {}, patience = 8000) => {
  const end = new AbortController();
  const late = setTimeout(() => end.abort(), patience);
  try {
    return await fetch(path, { cache: 'no-store', signal: end.signal, ...options });
  } finally {
    clearTimeout(late);
  }
};
const showLine = () => {
  const waiting = store.keys(WAITING).length;
  const kept = waiting === 0 ? '' : ` ${waiting === 1 ? 'One entry waits' : `${waiting} entries wait`} on this phone and will be sent.`;
  let words = 'Looking for the laptop.';
  if (stopped) words = stopped;
  else if (online) words = 'The laptop listens.';
  else if (online === false) words = 'No line to the laptop. Go on: nothing is lost.';
  const text = words + kept;
  if (at('line').textContent !== text) at('line').textContent = text;
  at('line').classList.toggle('off', !online || !!stopped);
  live.dataset.waiting = String(waiting);
};
const OVER = [400, 404, 413, 415, 422];
let sending = false;
const flush = async () => {
  if (sending) return;
  sending = true;
  try {
    for (let keys = store.keys(WAITING); keys.length; keys = store.keys(WAITING)) {
      const item = JSON.parse(store.get(keys[0]));
      const body = JSON.stringify({ bench, sent: item.sent });
      const got = await ask(item.path, { method: 'POST', headers: { 'Content-Type': 'application/json' }, body });
      if (got.ok) store.drop(keys[0]);
      else if (OVER.includes(got.status)) {
        store.drop(keys[0]);
        refuse(item.sent, (await got.json()).words);
      } else {
        await unlucky(got);
        break;
      }
    }
  } catch {
    online = false;
  } finally {
    sending = false;
  }
  showLine();
  if (store.keys(WAITING).length) setTimeout(flush, 1500);
};
// What the laptop says when it can't take something now.
const unlucky = async got => {
  const text = await got.text();
  let words = text;
  try { words = JSON.parse(text).words; } catch { /* it said it plainly */ }
  stopped = words.trim();
};
const refuse = (sent, words) => {
  const said = make('p', `${(sent.rows || []).map(told).join('; ')}${sent.rows ? ': ' : ''}${words}`);
  at('refused').append(said, make('button', 'I have read this', e => { said.remove(); e.target.remove(); }));
};
const told = row => `${row.what}${row.station ? ` at ${row.station}` : ''}${row.height ? `, ${row.height} up` : ''}: ${row.measured}`;

const listen = async () => {
  for (;;) {
    try {
      const known = state ? `?run=${state.run}&after=${state.version}` : '';
      const got = await ask(`/state${known}`, {}, 30000);
      if (!got.ok) {
        await unlucky(got);
        throw new Error();
      }
      const next = await got.json();
      online = true;
      stopped = next.bench === bench ? '' : 'The laptop serves another bench now. Load this page again.';
      if (stopped) throw new Error();
      state = next;
      show();
      showLine();
      flush();
    } catch {
      if (!stopped) online = false;
      showLine();
      await sleep(1000);
    }
  }
};

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

// What came of it.
let last = null;
const paragraphs = () => (state && state.text ? state.text.split('\n\n') : []);
const cells = line => line.trim().split(/\s{2,}/);
// The paragraph of what to take off: what it says, the heads, the rows, and what is said below them.
const takeOff = () => {
  const part = paragraphs().find(p => p.startsWith('to take off each side'));
  const lines = part ? part.trimEnd().split('\n') : [];
  const head = lines.length > 1 ? cells(lines[1]) : [];
  const all = lines.slice(2).map(line => [cells(line), line]);
  const isRow = ([found]) => found.length === head.length && !Number.isNaN(parseFloat(found[0]));
  return { lead: lines[0] || '', head, rows: all.filter(isRow).map(([found]) => found), more: all.filter(one => !isRow(one)).map(one => one[1].trim()) };
};
const showHere = () => {
  const { lead, head, rows } = takeOff();
  const wanted = parseFloat((last && last.station) || at('station').value) || 0;
  const far = found => Math.abs(parseFloat(found[0]) - wanted);
  const found = rows.reduce((best, one) => (best && far(best) <= far(one) ? best : one), null);
  at('here').replaceChildren();
  if (!found) return;
  const list = make('dl');
  list.className = 'facts brief';
  found.forEach((figure, i) => {
    const one = make('div');
    one.append(make('dt', head[i]), make('dd'));
    one.lastChild.append(make('strong', figure));
    list.append(one);
  });
  const words = make('p', `${lead[0].toUpperCase()}${lead.slice(1)}.`);
  words.className = 'small';
  at('here').append(list, words);
};
// Lines with their first words, and how many more there are.
const lines = (all, most) => {
  const shown = all.slice(0, most).map(line => make('p', line));
  if (all.length > most) shown.push(make('p', `And ${all.length - most} more, in the whole comparison.`));
  return shown;
};
const show = () => {
  const how = at('how');
  const words = state.problems.length ? state.problems.join(' ') : state.text ? '' : 'Nothing is measured yet.';
  how.textContent = state.current ? words : `${words} Being compared.`.trim();
  const part = start => (paragraphs().find(p => p.startsWith(start)) || '').trim().split('\n').filter(Boolean).map(line => line.trim());
  const [odd, ...slips] = part('Read again');
  at('sum').replaceChildren(
    ...lines(part('on the bench'), 9), ...lines(takeOff().more, 4), ...lines(odd ? [odd] : [], 1), ...lines(slips, 3),
  );
  showHere();
  at('whole').hidden = at('map').hidden = !state.text;
  at('whole').querySelector('pre').textContent = state.text || '';
  const map = at('map').querySelector('img');
  if (state.text && map.dataset.of !== state.text) {
    map.dataset.of = state.text;
    map.src = `/map.png?of=${state.run}-${state.version}`;
  }
  showTaken();
  showTicks();
  live.dataset.shown = state.current ? String(state.version) : '';
};
const showTaken = () => {
  at('taken').replaceChildren(...state.readings.map(r => {
    const item = make('li');
    const words = `${r.at.slice(0, 10)} ${r.at.slice(11, 16)}, ${r.cells.map(told).join('; ')}`;
    const text = make('span', words + (r.undone ? ' (taken back)' : r.gone ? ' (another program took it out of the file)' : ''));
    if (r.undone) text.className = 'undone';
    item.append(text);
    if (!r.undone && !r.gone) {
      const back = make('button', 'Take back', () => {
        back.disabled = true;
        queue('/undo', { id: newId(), ...stamp(), of: r.id });
      });
      back.setAttribute('aria-label', `Take back: ${words}`);
      item.append(back);
    } else if (r.gone) {
      const again = make('button', 'Put in again', () => {
        again.disabled = true;
        queue('/reading', { id: newId(), date: r.at.slice(0, 10), time: r.at.slice(11), rows: r.cells });
      });
      again.setAttribute('aria-label', `Put in again: ${words}`);
      item.append(again);
    }
    return item;
  }));
};

// Steps to tick: every step of the plan and every heat, by its section, its number and its words.
const name = (section, n, words) => {
  // FNV-1a, 32 bits: steps whose words change lose their tick.
  let hash = 0x811c9dc5;
  for (const c of words) hash = Math.imul(hash ^ c.codePointAt(0), 0x01000193) >>> 0;
  return `${section}-${n}-${hash.toString(16).padStart(8, '0')}`.slice(-64);
};
const ticks = new Map();
const tickable = () => {
  for (const title of document.querySelectorAll('main > section > h2')) {
    const section = title.parentElement;
    if (section.classList.contains('bench')) continue;
    const steps = [...section.querySelectorAll('ol > li'), ...(title.id === 'heats' ? section.querySelectorAll('dl.facts dt') : [])];
    steps.forEach((step, n) => {
      const id = name(title.id, n, step.textContent);
      const label = make('label');
      const box = make('input');
      const words = make('span');
      box.type = 'checkbox';
      label.className = 'tick';
      words.append(...step.childNodes);
      label.append(box, words);
      step.append(label);
      step.classList.add('ticked');
      box.addEventListener('change', () => queue('/tick', { id: newId(), ...stamp(), step: id, done: box.checked }));
      ticks.set(id, box);
    });
  }
};
const showTicks = () => {
  // What this phone has yet to send counts already.
  const own = new Map();
  for (const key of store.keys(WAITING)) {
    const item = JSON.parse(store.get(key));
    if (item.path === '/tick') own.set(item.sent.step, item.sent.done);
  }
  for (const [id, box] of ticks) {
    box.checked = own.has(id) ? own.get(id) : id in state.ticks;
    box.closest('label').classList.toggle('done', box.checked);
  }
};

// Timers, with a sound that the phone's own clock of sound keeps, once a tap has allowed it.
let sound = null;
const ring = seconds => {
  const Sound = window.AudioContext;
  if (!Sound) return null;
  sound = sound || new Sound();
  sound.resume();
  const loud = sound.createGain();
  loud.connect(sound.destination);
  const tone = sound.createOscillator();
  tone.frequency.value = 880;
  const from = sound.currentTime + Math.max(0, seconds);
  loud.gain.setValueAtTime(0, sound.currentTime);
  for (let beep = 0; beep < 60; beep += 1) {
    loud.gain.setValueAtTime(1, from + beep);
    loud.gain.setValueAtTime(0, from + beep + 0.5);
  }
  tone.connect(loud);
  tone.start(from);
  tone.stop(from + 60);
  return () => { loud.disconnect(); };
};
const clock = seconds => `${Math.floor(seconds / 60)}:${two(seconds % 60)}`;
const timers = () => {
  for (const timer of document.querySelectorAll('.timer')) {
    const key = `bench-timer:${bench}:${timer.dataset.timer}`;
    const [start, stop] = ['start', 'stop'].map(what => timer.querySelector(`[data-do="${what}"]`));
    const left = timer.querySelector('.left');
    let silence = null;
    const look = () => {
      const end = Number(store.get(key));
      const running = end > 0;
      const seconds = Math.ceil((end - Date.now()) / 1000);
      const over = running && seconds <= 0;
      start.disabled = running;
      stop.disabled = !running;
      timer.classList.toggle('over', over);
      const text = !running ? '–' : over ? 'Time is up' : clock(seconds);
      if (left.textContent !== text) left.textContent = text;
      left.setAttribute('role', over ? 'alert' : 'timer');
    };
    const wake = () => {
      const end = Number(store.get(key));
      if (end > 0 && !silence) silence = ring((end - Date.now()) / 1000);
    };
    start.addEventListener('click', () => {
      const minutes = Math.min(1440, Math.max(0.01, Number(timer.querySelector('input').value) || 1));
      store.put(key, String(Date.now() + 60000 * minutes));
      wake();
      look();
    });
    stop.addEventListener('click', () => {
      store.drop(key);
      if (silence) silence();
      silence = null;
      look();
    });
    // A page that was loaded anew may sound only after a tap.
    document.addEventListener('pointerdown', wake);
    setInterval(look, 250);
    look();
  }
};

live.querySelector('.scripted').hidden = false;
at('what').addEventListener('change', fields);
at('station').addEventListener('input', () => { last = null; fields(); });
at('height').addEventListener('input', fields);
at('before').addEventListener('click', () => { last = null; go(place - 1); });
at('next-place').addEventListener('click', () => { last = null; go(place + 1); });
at('keep').addEventListener('click', keep);
at('keep-all').addEventListener('click', () => { send(basket.splice(0)); showBasket(); });
at('drop-all').addEventListener('click', () => { basket.splice(0); showBasket(); });
at('value').addEventListener('keydown', e => { if (e.key === 'Enter') keep(); });
for (const key of document.querySelectorAll('[data-key]')) key.addEventListener('click', () => press(key.dataset.key));
tickable();
timers();
showLine();
load();
listen();
window.addEventListener('online', flush);
})();
