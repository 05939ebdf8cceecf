// All of it is there: begin.
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
