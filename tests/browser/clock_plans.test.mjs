// The clock of every part of every session that the reader is tested on, each done to its end against a clock of our own.
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { readdirSync } from 'node:fs';
import path from 'node:path';
import { test } from 'node:test';
import { dice, doIt } from '../js/any_clock.mjs';
import { BINARY } from './dowel.mjs';

const FOLDER = new URL('../data/sessions/', import.meta.url);

test('every clock of every session comes to its end, at the second that its plan and its taps add up to', (t) => {
  const files = readdirSync(FOLDER).filter((name) => name.endsWith('.txt'));
  const printed = execFileSync(path.resolve(BINARY), ['read', '--clocks', ...files], { cwd: FOLDER, encoding: 'utf8', maxBuffer: 1 << 28 });
  const clocks = printed.trim().split('\n').map((line) => JSON.parse(line));
  for (const [n, { file, part, lines, plan }] of clocks.entries()) doIt(plan, lines, dice((n + 1) * 7919), `${file}, ${part}`);
  t.diagnostic(`${clocks.length} clocks of ${files.length} sessions`);
  assert.ok(new Set(clocks.map(({ file }) => file)).size > files.length * 0.95, 'hardly a session is without a clock');
});
