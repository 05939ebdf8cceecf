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
