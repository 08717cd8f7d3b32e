// What a member's first view of the day costs on the wire: at most 14 kB before it can be read, 60 kB in all. And the scripts
// of the day and of its clocks, as they are written: at most 40 kB a page.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { phone, shell, start } from './dowel.mjs';

let chromium;
let dowel;
before(async () => {
  chromium = await shell();
  dowel = await start('demo');
});
after(async () => {
  await chromium.close();
  await dowel.stop();
});

const DAY = 86_400_000;
const SCRIPTS = 40_000;

/** A phone of the demo's member. */
async function signedIn() {
  const [, name] = dowel.printed().match(/as a member:\s+(\S+)/);
  const [, password] = dowel.printed().match(/password:\s+(.+)/);
  const context = await phone(chromium);
  const page = await context.newPage();
  await page.goto(`${dowel.address}/sign-in`);
  await page.getByLabel('E-mail or name').fill(name);
  await page.getByLabel('Password').fill(password);
  await page.getByRole('button', { name: 'Sign in', exact: true }).click();
  return { context, page };
}

test('a day on a phone is light', async (t) => {
  const { context } = await signedIn();
  // today may be a rest day: the last seven days have sessions
  const days = [0, 1, 2, 3, 4, 5, 6].map((n) => new Date(Date.now() - n * DAY).toISOString().slice(0, 10));
  let heaviest = { first: 0, all: 0 };
  let seen = 0;
  const scripts = new Set();
  for (const day of days) {
    const fresh = await phone(chromium, { storageState: await context.storageState() });
    const view = await fresh.newPage();
    const wire = await fresh.newCDPSession(view);
    await wire.send('Network.enable');
    const sizes = new Map();
    const kinds = new Map();
    view.on('request', (request) => request.resourceType() === 'script' && scripts.add(new URL(request.url()).pathname.replace(/^\/static\/\w+\//, '')));
    wire.on('Network.responseReceived', ({ requestId, type }) => kinds.set(requestId, type));
    wire.on('Network.loadingFinished', ({ requestId, encodedDataLength }) => sizes.set(requestId, encodedDataLength));
    await view.goto(`${dowel.address}/days/${day}`, { waitUntil: 'networkidle' });
    if ((await view.locator('details.part').count()) > 0) seen += 1;
    const sum = (want) => [...sizes].filter(([id]) => want(kinds.get(id))).reduce((total, [, bytes]) => total + bytes, 0);
    const first = sum((kind) => kind === 'Document' || kind === 'Stylesheet');
    const all = sum(() => true);
    if (first > heaviest.first) heaviest = { day, first, all };
    await fresh.close();
  }
  t.diagnostic(`heaviest day: ${heaviest.first} bytes of HTML and CSS with headers, ${heaviest.all} in all`);
  // the clock, the player and everything of the coach come when they are opened
  const day = ['ask', 'clock/fill', 'clock/left', 'device', 'keep', 'offline/queue', 'offline/register', 'offline/waiting', 'one-open', 'opens', 'start', 'understood'];
  assert.deepEqual([...scripts].sort(), day.map((name) => `js/${name}.js`));
  assert.ok(seen >= 3, `only ${seen} days had a session`);
  assert.ok(heaviest.first <= 14 * 1024, `${heaviest.first} bytes before it can be read`);
  assert.ok(heaviest.all <= 60 * 1024, `${heaviest.all} bytes in all`);
});

/** Bytes of every script that a page brings in by itself. */
async function scriptsOf(context, address) {
  const fresh = await phone(chromium, { storageState: await context.storageState(), serviceWorkers: 'block' });
  const view = await fresh.newPage();
  const sizes = new Map();
  view.on('response', async (answer) => {
    if (answer.request().resourceType() === 'script') sizes.set(answer.url(), (await answer.body()).length);
  });
  await view.goto(address, { waitUntil: 'networkidle' });
  const clocks = await view.locator('a[href$="/clock"]').evaluateAll((all) => all.map((a) => a.href));
  await fresh.close();
  return { clocks, bytes: [...sizes.values()].reduce((sum, n) => sum + n, 0) };
}

test('the scripts of a day and of each of its clocks are small; what only a running clock needs comes when it starts', async (t) => {
  const { context } = await signedIn();
  const seen = [];
  for (const n of [0, 1, 2, 3]) {
    const on = `${dowel.address}/days/${new Date(Date.now() - n * DAY).toISOString().slice(0, 10)}`;
    const { clocks, bytes } = await scriptsOf(context, on);
    seen.push([on, bytes]);
    for (const clock of clocks) seen.push([clock, (await scriptsOf(context, clock)).bytes]);
  }
  const clocks = seen.filter(([address]) => address.endsWith('/clock'));
  t.diagnostic(`at most ${Math.max(...clocks.map(([, bytes]) => bytes))} bytes for a clock, ${Math.max(...seen.filter((s) => !clocks.includes(s)).map(([, bytes]) => bytes))} for a day`);
  assert.ok(clocks.length > 2, `only ${clocks.length} clocks`);
  for (const [address, bytes] of seen) assert.ok(bytes > 1000 && bytes <= SCRIPTS, `${address}: ${bytes} bytes`);
});
