// Served alone: the line to the laptop. What is typed is kept on this phone until the laptop has it.
const live = document.getElementById('live');
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
