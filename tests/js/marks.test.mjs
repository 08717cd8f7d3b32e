// What is underlined stays under its word while one types elsewhere.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { shift } from '../../static/js/marks.js';

const before = '10 wibbles\n10 air squats\n';
const wibbles = { from: 3, to: 10, error: true };
const squats = { from: 14, to: 24, error: false };

test('typing above moves what is below', () => {
  const after = 'Warm-up\n' + before;
  assert.deepEqual(shift([wibbles, squats], before, after), [
    { ...wibbles, from: 11, to: 18 },
    { ...squats, from: 22, to: 32 },
  ]);
});

test('typing below leaves what is above', () => {
  assert.deepEqual(shift([wibbles, squats], before, before + '5 burpees'), [wibbles, squats]);
});

test('typing into a marked word takes its mark away and no other', () => {
  const after = before.replace('wibbles', 'wiggles');
  assert.deepEqual(shift([wibbles, squats], before, after), [squats]);
});

test('a letter at the end of a marked word belongs to the word', () => {
  const after = before.replace('wibbles', 'wibbless');
  assert.deepEqual(shift([wibbles], before, after), []);
});

test('the text taken away takes its marks away', () => {
  assert.deepEqual(shift([wibbles, squats], before, ''), []);
});
