// What came of it.
let last = null;
const paragraphs = () => (state && state.text ? state.text.split('\n\n') : []);
const cells = line => line.trim().split(/\s{2,}/);
const sentence = line => { const words = line.trim(); return `${words[0].toUpperCase()}${words.slice(1)}.`; };
// A length as a smith writes it, in the bench's unit: 12.5, 12,5, 5/8, 2 1/8, or with a unit of its own.
const amount = text => {
  const words = text.trim().replace(/^\u2212/, '-').replace(',', '.');
  const parts = words.match(/^(-?)(?:(\d+)[ -]+)?(\d+)\/(\d+)(.*)$/);
  const value = parts ? (parts[1] ? -1 : 1) * (Number(parts[2] || 0) + parts[3] / parts[4]) : parseFloat(words);
  const unit = (parts ? parts[5] : words.replace(/^[-\d.]+/, '')).trim();
  const inches = live.dataset.unit === 'inches';
  if (inches && unit.startsWith('mm')) return value / 25.4;
  return !inches && /^(in|"|\u2033|'')/.test(unit) ? value * 25.4 : value;
};
// The paragraph of what to take off: what it says, the heads, the rows, and what is said below them.
const takeOff = () => {
  const part = paragraphs().find(p => p.startsWith('to take off each side'));
  const lines = part ? part.trimEnd().split('\n') : [];
  const top = lines.findIndex(line => cells(line)[0] === 'station');
  const head = top > 0 ? cells(lines[top]) : [];
  const all = lines.slice(top + 1).map(line => [cells(line), line]);
  const isRow = ([found]) => found.length === head.length && !Number.isNaN(amount(found[0]));
  return { lead: lines.slice(0, Math.max(top, 0)).map(sentence).join(' '), head, rows: all.filter(isRow).map(([found]) => found), more: all.filter(one => !isRow(one)).map(one => one[1].trim()) };
};
const showHere = () => {
  const { lead, head, rows } = takeOff();
  const wanted = amount((last && last.station) || at('station').value) || 0;
  const far = found => Math.abs(amount(found[0]) - wanted);
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
  const words = make('p', lead);
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
