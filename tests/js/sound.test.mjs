// Every cue is told apart by ear, by hand and by eye: other tones, another vibration, a flash for what one must not miss.
import assert from 'node:assert/strict';
import { test } from 'node:test';

const SOUNDS = ['count', 'start', 'rest', 'change', 'switch', 'half', 'ten', 'stop', 'tap'];
let heard;
let felt;
let said;
class Sound {
  currentTime = 0;
  state = 'running';
  createOscillator() {
    const tone = { frequency: {}, connect: (to) => to, start: (at) => (tone.at = at), stop: (at) => heard.push([tone.frequency.value, +tone.at.toFixed(3), +at.toFixed(3)]) };
    return tone;
  }
  createGain() {
    return { gain: { setValueAtTime() {}, linearRampToValueAtTime() {} }, connect: (to) => to };
  }
}
Object.assign(globalThis, {
  AudioContext: Sound,
  SpeechSynthesisUtterance: class { constructor(text) { this.text = text; } },
  speechSynthesis: { speak: ({ text }) => said.push(text) },
  window: globalThis,
});
Object.defineProperty(globalThis, 'navigator', { value: { vibrate: (pattern) => (felt = pattern) }, configurable: true });
const { allowSound, cue } = await import('../../static/js/clock/sound.js');

function make(name, settings) {
  [heard, felt, said] = [[], null, []];
  const classes = [];
  cue(name, { classList: { add: (c) => classes.push(c), remove() {} } }, settings);
  return { heard: JSON.stringify(heard), felt: JSON.stringify(felt), said, flashed: classes.includes('flash') };
}

test('no two cues sound alike or feel alike', () => {
  allowSound();
  const all = SOUNDS.map((name) => make(name, { loud: true, voice: false }));
  for (const sense of ['heard', 'felt']) assert.equal(new Set(all.map((one) => one[sense])).size, SOUNDS.length, sense);
});

test('a muted phone still shakes and flashes, and is silent', () => {
  for (const name of SOUNDS) {
    const { heard: tones, felt: shake, said: words, flashed } = make(name, { loud: false, voice: false });
    assert.deepEqual([tones, words], ['[]', []], name);
    assert.notEqual(shake, 'null', name);
    assert.equal(flashed, !['count', 'tap'].includes(name), name);
  }
});

test('a voice says what is next only where it was asked for', () => {
  assert.deepEqual(make('rest', { loud: true, voice: true, more: 'Next: 5 air squats' }).said, ['Rest. Next: 5 air squats']);
  assert.deepEqual(make('switch', { loud: true, voice: true }).said.map((s) => s.trim()), ['Switch sides.']);
  assert.deepEqual(make('count', { loud: true, voice: true }).said, []);
});
