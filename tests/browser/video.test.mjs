// The talk-through as its people meet it: uploaded over a line that breaks, marked while watching, watched by part.
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { createHash, randomBytes } from 'node:crypto';
import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { after, before, test } from 'node:test';
import { browser, laptop, phone, start } from './dowel.mjs';

const CLIP = 'tests/data/video/talk.webm';
const PASSWORD = 'driftwood and tar';
const DAY = new Date().toISOString().slice(0, 10);
const WRITE_UP = 'Slow, then fast\n\nA. Goblet squat\n3 x 10 @ RPE 7, rest 60 s\n\nB. For time, cap 12:00\n4 rounds\n12 air squats\n9 push-ups\n';

let chromium, dowel, coach, cookie, group, member;

/** Posts a form from a browser's own cookies. */
const post = (context, at, form) =>
  context.request.post(dowel.address + at, { form, headers: { origin: dowel.address }, maxRedirects: 0 });

before(async () => {
  chromium = await browser();
  dowel = await start();
  const printed = dowel.run('coach', 'add', '--name', 'Mara', '--sign-in', 'mara', '--zone', 'UTC');
  coach = await laptop(chromium);
  await post(coach, new URL(printed.match(/http:\S+/)[0]).pathname, { password: PASSWORD });
  cookie = (await coach.cookies()).map((c) => `${c.name}=${c.value}`).join('; ');
  group = new URL((await post(coach, '/groups', { name: 'Harbour' })).headers().location, dowel.address).pathname;
  await post(coach, `${group}/invitations`, { label: 'Ines' });
  const link = (await (await coach.request.get(dowel.address + group)).text()).match(/\/join\/[\w-]+/)[0];
  member = await phone(chromium);
  await post(member, link, { name: 'Ines', sign_in: 'ines', password: PASSWORD, zone: 'UTC', units: 'kg' });
  await post(member, '/welcome/cautions', { accept: 'on' });
  await post(coach, at(1), { text: WRITE_UP, edit: '0' });
});
after(async () => {
  await chromium.close();
  await dowel.stop();
});

const at = (slot) => `${group}/days/${DAY}/${slot}`;
const sha256 = (bytes) => createHash('sha256').update(bytes).digest('hex');

async function publish() {
  const week = new URL((await coach.request.get(`${dowel.address}/week`)).url()).pathname;
  const mark = (await (await coach.request.get(`${dowel.address}${week}/publish`)).text()).match(/name="mark" value="([^"]+)"/)[1];
  assert.equal((await post(coach, `${week}/publish`, { mark })).status(), 303);
}

test('an upload that breaks off goes on after a reload and ends with the same bytes; curl fetches any piece of it', async () => {
  const bytes = Buffer.concat([Buffer.from('\x00\x00\x00\x18ftypisom\x00\x00\x02\x00', 'latin1'), randomBytes(3_400_000)]);
  const file = path.join(dowel.folder, 'long talk.mp4');
  writeFileSync(file, bytes);
  const page = await coach.newPage();
  const offsets = [];
  page.on('request', (r) => r.method() === 'PATCH' && offsets.push(Number(r.headers()['upload-offset'])));
  await page.route('**/uploads/*', (route) => (offsets.length > 2 && route.request().method() === 'PATCH' ? route.abort() : route.continue()));
  await page.goto(`${dowel.address}${at(2)}/video`);
  await page.setInputFiles('#file', file);
  await page.getByRole('button', { name: 'Upload' }).click();
  await page.getByText('No line just now').waitFor();
  await page.reload();
  await page.getByText('The upload of long talk.mp4 was cut off').waitFor();
  await page.unroute('**/uploads/*');
  offsets.length = 0;
  await page.setInputFiles('#file', file);
  await page.getByRole('button', { name: 'Upload' }).click();
  await page.waitForURL(/said=saved/);
  assert.deepEqual(offsets, [2 ** 21, 3 * 2 ** 20], 'it went on from the second megabyte');
  assert.equal(await page.evaluate(() => Object.keys(localStorage).filter((k) => k.startsWith('dowel upload')).length), 0);
  const media = `/media/${sha256(bytes)}`;
  assert.equal(await page.locator('video').getAttribute('src'), media);

  const curl = (...more) => execFileSync('curl', ['-s', '-H', `cookie: ${cookie}`, ...more, dowel.address + media], { maxBuffer: 1e8 });
  const status = (...more) => curl('-o', '/dev/null', '-w', '%{http_code} %header{content-range}', ...more).toString().trim();
  const total = bytes.length;
  assert.equal(status(), '200');
  assert.equal(status('-r', '0-99'), `206 bytes 0-99/${total}`);
  assert.equal(status('-r', '-100'), `206 bytes ${total - 100}-${total - 1}/${total}`);
  assert.equal(status('-r', `${total}-`), `416 bytes */${total}`);
  assert.equal(status('-r', '0-99', '-H', 'if-range: "other"'), '200');
  assert.equal(status('-r', '0-99', '-H', `if-range: "${sha256(bytes)}"`), `206 bytes 0-99/${total}`);
  // a download that broke off goes on
  const half = path.join(dowel.folder, 'half');
  writeFileSync(half, curl('-r', '0-1234567'));
  curl('-C', '-', '-o', half);
  assert.equal(sha256(readFileSync(half)), sha256(bytes));
});

test('signed out between two pieces, it stands still, says so, and goes on after signing in', async () => {
  const bytes = Buffer.concat([Buffer.from('\x00\x00\x00\x18ftypisom\x00\x00\x02\x00', 'latin1'), randomBytes(3_400_000)]);
  const own = await laptop(chromium);
  const signIn = () => post(own, '/sign-in', { name: 'mara', password: PASSWORD });
  await signIn();
  const page = await own.newPage();
  const offsets = [];
  await page.route('**/uploads/*', async (route) => {
    if (route.request().method() !== 'PATCH') return route.continue();
    offsets.push(Number(route.request().headers()['upload-offset']));
    if (offsets.length === 2) await post(own, '/sign-out', {});
    return route.continue();
  });
  await page.goto(`${dowel.address}${at(4)}/video`);
  await page.setInputFiles('#file', { name: 'talk.mp4', mimeType: 'video/mp4', buffer: bytes });
  await page.getByRole('button', { name: 'Upload' }).click();
  await page.getByText('You are signed out.').waitFor({ timeout: 10_000 });
  assert.deepEqual(offsets, [0, 2 ** 20], 'nothing more is sent');
  assert.equal(await page.evaluate(() => Object.keys(localStorage).filter((k) => k.startsWith('dowel upload')).length), 1);
  await signIn();
  await page.evaluate(() => dispatchEvent(new Event('focus')));
  await page.waitForURL(/said=saved/);
  assert.deepEqual(offsets, [0, 2 ** 20, 2 ** 20, 2 ** 21, 3 * 2 ** 20]);
  assert.equal(await page.locator('video').getAttribute('src'), `/media/${sha256(bytes)}`);
  await own.close();
});

test('an answer that is not of Dowel is not taken for one', async () => {
  const bytes = Buffer.concat([Buffer.from('\x00\x00\x00\x18ftypisom\x00\x00\x02\x00', 'latin1'), randomBytes(400_000)]);
  const page = await coach.newPage();
  let first = true;
  await page.route('**/uploads/*', (route) => {
    if (route.request().method() !== 'PATCH' || !first) return route.continue();
    first = false;
    return route.fulfill({ status: 200, contentType: 'text/html', body: '<h1>Welcome to our hotel</h1>' });
  });
  await page.goto(`${dowel.address}${at(5)}/video`);
  await page.setInputFiles('#file', { name: 'talk.mp4', mimeType: 'video/mp4', buffer: bytes });
  await page.getByRole('button', { name: 'Upload' }).click();
  await page.waitForURL(/said=saved/);
  assert.equal(await page.locator('video').getAttribute('src'), `/media/${sha256(bytes)}`);
  await page.close();
});

test('what is no video is refused in words, and can be given up', async () => {
  const page = await coach.newPage();
  await page.goto(`${dowel.address}${at(3)}/video`);
  await page.setInputFiles('#file', { name: 'talk.mp4', mimeType: 'video/mp4', buffer: Buffer.alloc(5000, '<') });
  await page.getByRole('button', { name: 'Upload' }).click();
  await page.getByText('This is no MP4, MOV or WebM video.').waitFor();
});

test('the coach marks chapters while watching and the member opens the part on them', async () => {
  const page = await coach.newPage();
  await page.goto(`${dowel.address}${at(1)}/video`);
  await page.setInputFiles('#file', CLIP);
  await page.getByRole('button', { name: 'Upload' }).click();
  await page.waitForURL(/said=saved/);
  const seek = (p, t) =>
    p.evaluate(async (to) => {
      const video = document.querySelector('video');
      await (video.readyState ? 0 : new Promise((done) => video.addEventListener('loadedmetadata', done, { once: true })));
      video.currentTime = to;
      await new Promise((done) => video.addEventListener('seeked', done, { once: true }));
    }, t);
  for (const [time, name] of [[0, 'A. Goblet squat'], [12, /^B\./], [20, /^push-ups?$/]]) {
    if (time) await seek(page, time);
    await page.getByRole('button', { name, exact: typeof name === 'string' }).click();
  }
  assert.match(await page.locator('#chapter-lines').inputValue(), /^0:00 A\. Goblet squat\n0:12 B\. .*\n {2}0:20 push-ups?\n$/);
  await Promise.all([page.waitForEvent('load'), page.getByRole('button', { name: 'Save the chapters' }).click()]);
  assert.match(await page.locator('#chapter-lines').inputValue(), /0:(30|29\.\d+) end\n$/, 'the page knew how long the video is');
  await publish();

  const view = await member.newPage();
  await view.goto(`${dowel.address}/today`);
  const part = view.locator('details.part', { hasText: 'time' }).last();
  if (!(await part.evaluate((d) => d.open))) await part.locator('summary').first().click();
  await part.getByRole('link', { name: 'Show me' }).last().click();
  await view.waitForURL(/\/video#part-1$/);
  const now = () => view.evaluate(() => document.querySelector('video').currentTime);
  await view.waitForFunction(() => document.querySelector('video').readyState > 0);
  assert.equal(Math.round(await now()), 12);
  assert.equal(await view.evaluate(() => document.querySelector('video').paused), true, 'it never plays by itself');

  // the browser's own reader of WebVTT has the same chapters
  const cues = await view.evaluate(async () => {
    const track = document.querySelector('track[kind=chapters]');
    track.track.mode = 'hidden';
    if (track.readyState < 2) await new Promise((done) => track.addEventListener('load', done, { once: true }));
    return [...track.track.cues].map((c) => [c.startTime, Math.round(c.endTime), c.text]);
  });
  assert.equal(cues.length, 3);
  assert.deepEqual(cues.map((c) => c.slice(0, 2)), [[0, 12], [12, 30], [20, 30]]);

  await view.getByRole('link', { name: /push-up/ }).click();
  assert.equal(Math.floor(await now()) >= 20, true);
  assert.equal(await view.evaluate(() => document.querySelector('video').paused), false);
  await view.getByRole('button', { name: '0.5 ×' }).click();
  assert.equal(await view.evaluate(() => document.querySelector('video').playbackRate), 0.5);
  // the stretch that it is in, again and again
  await view.getByRole('button', { name: 'Loop this stretch' }).click();
  await view.getByRole('button', { name: '1 ×', exact: true }).click();
  await seek(view, 29.2);
  await view.waitForFunction(() => document.querySelector('video').currentTime < 25, null, { timeout: 10_000 });
  assert.ok((await now()) >= 19.9);
  // it keeps its place
  await view.evaluate(() => document.querySelector('video').pause());
  await seek(view, 22);
  await view.waitForFunction(() => Object.keys(localStorage).some((k) => k.startsWith('dowel place') && localStorage[k] === '22'));
  await view.goto(view.url().replace(/#.*/, '?again'));
  await view.getByText('It goes on where you left it.').waitFor();
  await view.waitForFunction(() => Math.round(document.querySelector('video').currentTime) === 22);
});

test('on a line that is paid by the megabyte nothing of the video is loaded before it is asked for', async () => {
  const view = await member.newPage();
  await view.addInitScript(() => Object.defineProperty(navigator, 'connection', { value: { saveData: true } }));
  const asked = [];
  view.on('request', (r) => r.url().includes('/media/') && asked.push(r.url()));
  await view.goto(`${dowel.address}/today`);
  await view.getByRole('link', { name: 'Watch the talk-through' }).first().click();
  await view.locator('video').waitFor();
  await view.waitForLoadState('networkidle');
  assert.equal(asked.length, 0);
  await view.getByRole('link', { name: /push-up/ }).click();
  await view.waitForFunction(() => document.querySelector('video').currentTime > 19);
  assert.ok(asked.length > 0);
});
