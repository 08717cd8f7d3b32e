// What a device keeps, with a store that works, one that is closed and one that is full.
import assert from 'node:assert/strict';
import { beforeEach, test } from 'node:test';

class Store {
  constructor(room = Infinity) {
    Object.defineProperty(this, 'room', { value: room });
  }
  getItem(key) { return Object.hasOwn(this, key) ? this[key] : null; }
  setItem(key, value) {
    const size = Object.entries(this).reduce((sum, [k, v]) => sum + (k === key ? 0 : k.length + v.length), key.length + value.length);
    if (size > this.room) throw new DOMException('no room', 'QuotaExceededError');
    this[key] = value;
  }
  removeItem(key) { delete this[key]; }
  clear() { for (const key of Object.keys(this)) delete this[key]; }
}

const put = (name, get) => Object.defineProperty(globalThis, name, { get, configurable: true });
let visits = 0;
/** The module as a page of this person has it. */
async function pageOf(person) {
  globalThis.document = { body: { dataset: person ? { person } : {} } };
  return import(`../../static/js/device.js?${(visits += 1)}`);
}

let store;
beforeEach(() => {
  store = new Store();
  put('localStorage', () => store);
  put('sessionStorage', () => store);
});

test('what is kept comes back, under the name of its person', async () => {
  const { device, named } = await pageOf('7');
  assert.equal(device.set(named('place', '/media/a'), 22), true);
  assert.deepEqual(device.keys('dowel '), ['dowel place 7 /media/a']);
  assert.equal(device.get('dowel place 7 /media/a'), 22);
  device.drop('dowel place 7 /media/a');
  assert.equal(device.get('dowel place 7 /media/a'), null);
});

test('where only to look at the store throws, nothing is kept and nothing throws', async () => {
  const closed = () => { throw new DOMException('closed', 'SecurityError'); };
  put('localStorage', closed);
  put('sessionStorage', closed);
  const { device, tab } = await pageOf('7');
  for (const kept of [device, tab]) {
    assert.equal(kept.set('dowel draft 7 x', 'words'), false);
    assert.equal(kept.get('dowel draft 7 x'), null);
    assert.deepEqual(kept.keys('dowel '), []);
    kept.drop('dowel draft 7 x');
    kept.clear();
  }
});

test('a full store says that it did not keep something, and keeps what it had', async () => {
  store = new Store(60);
  const { device } = await pageOf('7');
  assert.equal(device.set('dowel draft 7 x', 'short'), true);
  assert.equal(device.set('dowel draft 7 x', 'long '.repeat(50)), false);
  assert.equal(device.get('dowel draft 7 x'), 'short');
});

test('what cannot be read is nothing', async () => {
  store.setItem('dowel clock 7 1 0', '{"plan":');
  const { device } = await pageOf('7');
  assert.equal(device.get('dowel clock 7 1 0'), null);
});

const DRAFT = JSON.stringify({ text: 'A. Deadlift\n5 x 5\n', edit: '3' });
const OLD = 'draft /groups/1/days/2026-12-01/1';

test('a write-up under a name without a person becomes that of whoever was here last', async () => {
  for (const [before, owner] of [[undefined, '7'], ['7', '7'], ['4', '4']]) {
    store.clear();
    store.setItem(OLD, DRAFT);
    if (before) store.setItem('dowel person', before);
    await pageOf('7');
    assert.equal(store.getItem(`dowel draft ${owner} /groups/1/days/2026-12-01/1`), DRAFT);
    assert.equal(store.getItem(OLD), null);
  }
});

test('where there is no room for its new name, or nobody is signed in, it stays under the old one', async () => {
  store = new Store(OLD.length + DRAFT.length + 2);
  store.setItem(OLD, DRAFT);
  await pageOf('7');
  assert.equal(store.getItem(OLD), DRAFT);
  store = new Store();
  store.setItem(OLD, DRAFT);
  await pageOf(undefined);
  assert.deepEqual(Object.keys(store), [OLD]);
});
