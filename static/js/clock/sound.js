// Distinct sounds made by the browser itself, with vibration and a flash for muted phones. No files.

// each sound: [frequency in Hz, seconds] one after the other; 0 Hz is silence
const TONES = {
  count: [[660, 0.09]],
  start: [[880, 0.45]],
  rest: [[440, 0.18], [0, 0.08], [330, 0.3]],
  change: [[550, 0.2], [0, 0.06], [550, 0.2]],
  over: [[330, 0.15], [0, 0.05], [330, 0.4]],
  switch: [[660, 0.12], [0, 0.06], [880, 0.12], [0, 0.06], [660, 0.12]],
  half: [[550, 0.12], [0, 0.08], [550, 0.12]],
  ten: [[740, 0.1], [0, 0.06], [740, 0.1], [0, 0.06], [740, 0.1]],
  stop: [[880, 0.2], [0, 0.06], [660, 0.2], [0, 0.06], [440, 0.6]],
  tap: [[990, 0.05]],
};
const SHAKES = { count: 40, start: 300, change: [120, 60, 120], rest: [150, 80, 150], over: [200, 60, 200], switch: [80, 60, 80, 60, 80], half: [80, 60, 80], ten: [60, 50, 60, 50, 60], stop: [300, 100, 300], tap: 25 };
const SPOKEN = { rest: 'Rest', over: 'Time', change: 'Change', switch: 'Switch sides', half: 'Halfway', ten: 'Ten seconds', stop: 'Stop', start: 'Go' };

/** A browser that was asked for sound has it by then. */
const SOON_MS = 1000;

let context = null;
let asked = 0;

/** Must be called from a tap: browsers allow sound only after one. */
export function allowSound() {
  asked = Date.now();
  context ??= new AudioContext();
  // also where a call has interrupted it
  if (context.state !== 'running') context.resume();
}

/** Nothing would be heard: no touch since the page was loaded, or a call took the sound away. */
export const asleep = () => context?.state !== 'running' && Date.now() - asked > SOON_MS;

function play(tones) {
  if (!context) return;
  let at = context.currentTime;
  for (const [frequency, seconds] of tones) {
    if (frequency) {
      const tone = context.createOscillator();
      const loudness = context.createGain();
      tone.frequency.value = frequency;
      // no clicks at the edges
      loudness.gain.setValueAtTime(0, at);
      loudness.gain.linearRampToValueAtTime(0.5, at + 0.01);
      loudness.gain.setValueAtTime(0.5, at + seconds - 0.02);
      loudness.gain.linearRampToValueAtTime(0, at + seconds);
      tone.connect(loudness).connect(context.destination);
      tone.start(at);
      tone.stop(at + seconds);
    }
    at += seconds;
  }
}

/** Makes itself heard, felt and seen, as far as the phone and its owner allow. `more` is spoken after the cue's own word. */
export function cue(sound, screen, { loud, voice, more = '' }) {
  if (loud) play(TONES[sound]);
  navigator.vibrate?.(SHAKES[sound]);
  if (voice && SPOKEN[sound] && 'speechSynthesis' in window) {
    speechSynthesis.speak(new SpeechSynthesisUtterance(`${SPOKEN[sound]}. ${more}`));
  }
  if (sound !== 'tap' && sound !== 'count') {
    screen.classList.add('flash');
    setTimeout(() => screen.classList.remove('flash'), 250);
  }
}
