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
