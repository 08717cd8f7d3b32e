// What a tap while watching does to the chapters' lines.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { clock, marked, parse } from '../../static/js/chapter-lines.js';

test('times are read and written as they are typed', () => {
  assert.deepEqual(parse('1:24 B. Ten rounds'), { at: 84, nested: false, title: 'B. Ten rounds' });
  assert.deepEqual(parse('  1:02:03.5 air squat'), { at: 3723.5, nested: true, title: 'air squat' });
  assert.equal(parse('later: cool-down'), null);
  assert.deepEqual([0, 84.9, 3723].map(clock), ['0:00', '1:24', '1:02:03']);
});

test('a chapter goes where its time is', () => {
  let text = marked('', 0.2, 'Warm-up', false);
  text = marked(text, 84.7, 'B. Ten rounds', false);
  text = marked(text, 40, 'A. Squats', false);
  text = marked(text, 90, 'air squat', true);
  assert.equal(text, '0:00 Warm-up\n0:40 A. Squats\n1:24 B. Ten rounds\n  1:30 air squat\n');
});

test('a part that is marked again moves, a movement may come twice', () => {
  const text = '0:00 Warm-up\n  0:05 air squat\n1:24 B\n';
  assert.equal(marked(text, 100, 'Warm-up', false), '  0:05 air squat\n1:24 B\n1:40 Warm-up\n');
  assert.equal(marked(text, 90, 'air squat', true), '0:00 Warm-up\n  0:05 air squat\n1:24 B\n  1:30 air squat\n');
});

test('a part that begins with its first movement stands above it', () => {
  assert.equal(marked('  0:10 air squat\n', 10, 'B', false), '0:10 B\n  0:10 air squat\n');
});

test('what cannot be read stays as it was typed', () => {
  assert.equal(marked('soon: hello\n0:10 A\n', 5, 'B', false), 'soon: hello\n0:05 B\n0:10 A\n');
});
