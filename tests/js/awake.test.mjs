// The screen stays on while a clock runs, and is let go of with it.
import assert from 'node:assert/strict';
import { test } from 'node:test';

/** A phone that answers when it is told to. */
const page = new EventTarget();
globalThis.document = Object.assign(page, { visibilityState: 'visible' });
const held = [];
const asked = [];
const wakeLock = { request: () => new Promise((yes) => asked.push(yes)) };
Object.defineProperty(globalThis, 'navigator', { value: { wakeLock }, configurable: true });
const { keepAwake } = await import('../../static/js/clock/awake.js');

/** The phone answers what it was asked. */
async function answer() {
  for (const yes of asked.splice(0)) {
    const lock = new EventTarget();
    held.push(lock);
    lock.release = () => {
      held.splice(held.indexOf(lock), 1);
      lock.dispatchEvent(new Event('release'));
    };
    yes(lock);
  }
  await new Promise((done) => setImmediate(done));
}

test('one lock is held however often it is asked for, and let go of at the end', async () => {
  keepAwake(true);
  page.dispatchEvent(new Event('visibilitychange'));
  await answer();
  assert.equal(held.length, 1);
  keepAwake(false);
  assert.equal(held.length, 0);
});

test('a clock that was stopped before the phone had answered does not keep the screen on', async () => {
  keepAwake(true);
  keepAwake(false);
  await answer();
  assert.equal(held.length, 0);
});

test('a lock that a call took away is taken again when the page is seen', async () => {
  keepAwake(true);
  await answer();
  held[0].release();
  page.dispatchEvent(new Event('visibilitychange'));
  await answer();
  assert.equal(held.length, 1);
});
