// Starts the demo, finds the address of every kind of page, and audits them all. Options are passed on to audit.mjs.
import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { start } from '../browser/dowel.mjs';
import { afterBadForms } from './after.mjs';

const here = path.dirname(fileURLToPath(import.meta.url));
const dowel = await start('demo');
const printed = dowel.printed();
const [, coachName] = printed.match(/as the coach:\s+(\S+)/);
const [, memberName] = printed.match(/as a member:\s+(\S+)/);
const [, password] = printed.match(/password:\s+(.+)/);

/** Posts a form; the answer is not followed. */
const post = (address, fields, cookie = '') =>
  fetch(new URL(address, dowel.address), {
    method: 'POST',
    redirect: 'manual',
    headers: { cookie, 'content-type': 'application/x-www-form-urlencoded', origin: dowel.address },
    body: new URLSearchParams(fields).toString(),
  });
const cookieOf = (response) => response.headers.getSetCookie()[0].split(';')[0];
const get = async (address, cookie) => (await fetch(new URL(address, dowel.address), { headers: { cookie } })).text();
const links = (html) => [...html.matchAll(/(?:href|action)="(\/[^"#?]*)/g)].map((m) => m[1]);

/** Posts a form with files: name to words, or to bytes and a file name. */
function sendFile(address, fields) {
  const body = new FormData();
  for (const [name, value] of Object.entries(fields)) {
    if (Array.isArray(value)) body.append(name, new Blob([value[0]]), value[1]);
    else body.append(name, value);
  }
  return fetch(new URL(address, dowel.address), { method: 'POST', redirect: 'manual', headers: { cookie: coach, origin: dowel.address }, body });
}

/** Where the session of a list of results is written. */
async function placeOf(results, week) {
  const html = await get(week, coach);
  const before = html.slice(0, html.indexOf(`"${results}"`));
  return [...before.matchAll(/href="(\/groups\/\d+\/days\/[\d-]+\/\d)"/g)].at(-1)[1];
}

/** The week of these in which a list of results stands. */
async function weekWith(results, weeks) {
  for (const at of weeks) if ((await get(at, coach)).includes(`"${results}"`)) return at;
  throw new Error(`no week shows ${results}`);
}

/** A chapter for each thing that can be marked, a second apart. */
const chaptersOf = (html) =>
  [...html.matchAll(/data-mark="([^"]+)"( data-nested)?/g)].slice(0, 25).map(([, title, nested], n) => `${nested ? '  ' : ''}0:${String(n).padStart(2, '0')} ${title}`).join('\n');

/** The first link on these pages that fits. */
async function find(pattern, cookie, ...addresses) {
  for (const address of addresses) {
    const found = links(await get(address, cookie)).find((link) => pattern.test(link));
    if (found) return found;
  }
  throw new Error(`no link like ${pattern} on ${addresses.join(', ')}`);
}

const coach = cookieOf(await post('/sign-in', { name: coachName, password }));
const member = cookieOf(await post('/sign-in', { name: memberName, password }));

const group = await find(/^\/groups\/\d+$/, coach, '/groups');
await post(`${group}/invitations`, { label: 'Nele' }, coach);
const invitation = (await get(group, coach)).match(/\/join\/[\w-]+/)[0];
const spare = invitation;
await post(`${group}/invitations`, { label: 'Timo' }, coach);
const joining = (await get(group, coach)).match(/\/join\/[\w-]+/g).find((link) => link !== spare);
const newcomer = cookieOf(
  await post(joining, { name: 'Timo', sign_in: 'timo', password: 'rope and tide', zone: 'Europe/Lisbon', units: 'kg' }),
);

const week = new URL((await fetch(`${dowel.address}/week`, { headers: { cookie: coach } })).url).pathname;
const person = await find(/^\/people\/\d+$/, coach, group);
const results = await find(/^\/sessions\/\d+\/results$/, coach, week);
await post(`${person}/password-link`, {}, coach);
const passwordPage = (await get(person, coach)).match(/\/password\/[\w-]+/)[0];
const preview = await find(/\/as\/\d+$/, coach, await find(/\/coverage$/, coach, week));
const today = new Date().toISOString().slice(0, 10);
const before = (days) => new Date(Date.now() - days * 864e5).toISOString().slice(0, 10);
const memberDays = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14].map((n) => `/days/${before(n)}`);
const board = await find(/\/board$/, member, '/today', ...memberDays);
// looked at where the member's own row lies: while it sticks to the edge of the window it covers a part of another, by chance
const own = (await get(board, member)).match(/<li class="place you"[^>]* id="(result-\d+)"/)?.[1];
const coverage = await find(/\/coverage$/, coach, week);
const clock = await find(/\/clock$/, member, '/today', ...memberDays);

// a talk-through of our own, with chapters and captions, on a session that this member sees
const asking = await find(/^\/sessions\/\d+\/questions$/, member, '/today', ...memberDays);
const filmed = asking.replace('questions', 'results');
const weeks = links(await get('/groups', coach)).filter((link) => /^\/groups\/\d+$/.test(link)).flatMap((at) => {
  const monday = new Date(week.split('/').at(-1)).valueOf();
  return [0, 7, 14].map((days) => `${at}/weeks/${new Date(monday - days * 864e5).toISOString().slice(0, 10)}`);
});
const theirs = await weekWith(filmed, weeks);
const place = await placeOf(filmed, theirs);
await sendFile(`${place}/video/file`, { file: [readFileSync(path.join(here, '../data/video/talk.webm')), 'talk.webm'] });
await sendFile(`${place}/video/chapters`, { text: chaptersOf(await get(`${place}/video`, coach)), length: '30' });
await sendFile(`${place}/video/captions`, { file: ['WEBVTT\n\n00:00.000 --> 00:04.000\nFeet flat.\n', 'talk.vtt'] });
const mark = (await get(`${theirs}/publish`, coach)).match(/name="mark" value="([^"]+)"/)[1];
await post(`${theirs}/publish`, { mark }, coach);
const talk = `${filmed.replace('/results', '')}/video`;
const result = await find(/^\/results\/\d+/, member, '/history', '/today', ...memberDays);

const weekBoard = await find(/\/weeks\/[\d-]+\/board$/, member, board);
// on some days of the demo nothing that this member lifted is on the first page
const lift = await find(/^\/history\/lifts\//, member, '/history').catch(() => null);
if (!lift) console.log('Not audited today: the page of a lift, which this member of the demo does not have.');

const pages = [
  { name: 'sign-in', path: '/sign-in' },
  { name: 'join', path: spare },
  { name: 'password', path: passwordPage },
  { name: 'no-signal', path: '/no-signal' },
  { name: 'not-found', path: '/no-such-page', status: 404 },
  { name: 'welcome-kit', path: '/welcome/kit', as: 'newcomer' },
  { name: 'welcome-limits', path: '/welcome/limits', as: 'newcomer' },
  { name: 'welcome-cautions', path: '/welcome/cautions', as: 'newcomer' },
  { name: 'today', path: '/today', as: 'member', offline: true },
  { name: 'day', path: memberDays[0], as: 'member', offline: true },
  { name: 'result', path: result, as: 'member', offline: true },
  { name: 'clock', path: clock, as: 'member', offline: true },
  { name: 'talk-through', path: talk, as: 'member' },
  { name: 'ask', path: asking, as: 'member' },
  { name: 'my-questions', path: '/questions-of-mine', as: 'member' },
  { name: 'history', path: '/history', as: 'member', offline: true },
  { name: 'board', path: own ? `${board}#${own}` : board, as: 'member' },
  { name: 'board-week', path: weekBoard, as: 'member' },
  ...(lift ? [{ name: 'lift', path: lift, as: 'member' }] : []),
  { name: 'you', path: '/you', as: 'member' },
  { name: 'you-devices', path: '/you/devices', as: 'member' },
  { name: 'you-password', path: '/you/password', as: 'member' },
  { name: 'you-passkeys', path: '/you/passkeys', as: 'member' },
  { name: 'passkeys-coach', path: '/you/passkeys', as: 'coach' },
  { name: 'you-kit', path: '/you/kit', as: 'member' },
  { name: 'you-maxes', path: '/you/maxes', as: 'member' },
  { name: 'trail', path: '/trail', as: 'coach' },
  { name: 'coaches', path: '/coaches', as: 'coach' },
  { name: 'maxes', path: `${person}/maxes`, as: 'coach' },
  { name: 'preview', path: preview, as: 'coach' },
  { name: 'you-data', path: '/you/data', as: 'member' },
  { name: 'you-tokens', path: '/you/tokens', as: 'member' },
  { name: 'tokens-coach', path: '/you/tokens', as: 'coach' },
  { name: 'person-data', path: `${person}/data`, as: 'coach' },
  { name: 'group-data', path: `${group}/data`, as: 'coach' },
  { name: 'you-limits', path: '/you/limits', as: 'member' },
  { name: 'movements', path: '/movements', as: 'member' },
  { name: 'movement', path: '/movements/goblet%20squat', as: 'member' },
  { name: 'groups', path: '/groups', as: 'coach' },
  { name: 'group', path: group, as: 'coach' },
  { name: 'week', path: week, as: 'coach', offline: true },
  { name: 'editor', path: `${group}/days/${today}/1`, as: 'coach' },
  { name: 'video', path: `${place}/video`, as: 'coach' },
  { name: 'run-sheet', path: `${place}/run-sheet`, as: 'coach' },
  { name: 'publish', path: `${week}/publish`, as: 'coach' },
  { name: 'coverage', path: coverage, as: 'coach' },
  { name: 'fitting', path: '/fitting', as: 'coach' },
  { name: 'unpublish', path: `${week}/unpublish`, as: 'coach' },
  { name: 'copy', path: `${week}/copy`, as: 'coach' },
  { name: 'person', path: person, as: 'coach' },
  { name: 'results', path: results, as: 'coach' },
  { name: 'board-coach', path: board, as: 'coach' },
  { name: 'board-rules', path: `${board}-rules`, as: 'coach' },
  { name: 'group-rules', path: `${group}/board-rules`, as: 'coach' },
  { name: 'correct', path: `${result}/correct`, as: 'coach' },
  { name: 'review', path: '/review', as: 'coach' },
  { name: 'questions', path: '/questions', as: 'coach' },
  { name: 'how-to-write', path: '/how-to-write', as: 'coach' },
  { name: 'movement-new', path: '/movements/new', as: 'coach' },
  { name: 'movement-edit', path: '/movements/goblet%20squat/edit', as: 'coach' },
];

/** The hidden fields of a form, as a browser would send them. */
const hiddenOf = (html, action) => {
  const form = html.slice(html.indexOf(`action="${action}"`)).split('</form>')[0];
  return Object.fromEntries([...form.matchAll(/<input type="hidden" name="([^"]+)" value="([^"]*)"/g)].map(([, name, value]) => [name, value]));
};

/** The first part with a score that this member has not logged yet, on the days that are open to it: its form, and where it stands. */
async function openLog() {
  for (const at of ['/today', ...memberDays]) {
    const html = await get(at, member);
    const action = html.match(/<form method="post" action="(\/sessions\/\d+\/parts\/\d+\/result)" class="score"/)?.[1];
    if (action) return { action, fields: { ...hiddenOf(html.slice(html.indexOf('class="score"') - 200), action), score: 'quick and easy', rpe: '7', minutes: 'ten', note: 'x'.repeat(2001) } };
  }
  throw new Error('no part is open to be logged');
}

// what was typed comes back with the reason beside it
const refused = await afterBadForms(dowel.address, [
  { name: 'log', ...(await openLog()), as: 'member' },
  { name: 'sign-in', action: '/sign-in', fields: { name: memberName, password: 'not this one' } },
  { name: 'join', action: spare, fields: { name: '', sign_in: '', password: 'short', zone: 'Nowhere', units: 'kg' } },
  { name: 'kit', action: '/you/kit', fields: { dumbbells: 'a few', other: 'x'.repeat(501) }, as: 'member' },
  { name: 'limits', action: '/you/limits', fields: { note: 'x'.repeat(2001) }, as: 'member' },
  { name: 'ask', action: asking, fields: { ...hiddenOf(await get(asking, member), asking), text: '' }, as: 'member' },
  // one with faults in it, typed while another was saved
  { name: 'write-up', action: place, fields: { text: 'A. For time\n3 rounds\n10 flumps\n12 x 40 m 3:99\n', edit: '9999' }, as: 'coach', status: 409 },
  { name: 'movement', action: '/movements/new', fields: { name: '' }, as: 'coach' },
]);

// pages that are there with a mail server only
const mailing = await start('serve', { DOWEL_SMTP_HOST: 'localhost', DOWEL_SMTP_TLS: 'none', DOWEL_SMTP_FROM: 'dowel@example.org' });
const mailPages = [
  { name: 'sign-in-mail', path: '/sign-in' },
  { name: 'forgotten', path: '/forgotten' },
];

const options = process.argv.slice(2);
const valuesOf = (option) => options.filter((_, n) => options[n - 1] === option);
const only = valuesOf('--only');

/** What is kept and installed is tried in the browser itself; what is only looked at, in its shell, which costs half as much. */
const SHELL = '/usr/bin/chromium-headless-shell';

/** Audits these pages of one running program in a browser of its own: 0 where all is well. What it says comes when it is done. */
async function audit(address, pages, roles, out) {
  if (!pages.some((page) => !only.length || only.includes(page.name))) return 0;
  const list = path.join(mkdtempSync(path.join(tmpdir(), 'dowel-audit-')), 'pages.json');
  writeFileSync(list, JSON.stringify(pages));
  const cookies = Object.entries(roles).flatMap(([role, cookie]) => ['--cookie', `${role}:${cookie}`]);
  const browser = existsSync(SHELL) && !pages.some(({ offline }) => offline) ? ['--chromium', SHELL] : [];
  const words = [path.join(here, 'audit.mjs'), address, '--pages', list, ...cookies, ...browser, ...options, '--out', out];
  const child = spawn(process.execPath, words, { stdio: ['ignore', 'pipe', 'inherit'] });
  let said = '';
  child.stdout.on('data', (piece) => (said += piece));
  return new Promise((done) =>
    child.once('close', (code) => {
      process.stdout.write(said);
      done(code ?? 1);
    }),
  );
}

const out = valuesOf('--out').at(-1) ?? 'audit-out';
const kept = pages.filter(({ offline }) => offline);
const others = pages.filter(({ offline }) => !offline);
// a page waits about as long as it works, so there is a browser for each core
const lanes = Math.min(availableParallelism(), 4);
const roles = { coach, member, newcomer };
const codes = await Promise.all([
  audit(dowel.address, kept, roles, path.join(out, 'kept')),
  ...Array.from({ length: lanes }, (_, n) => audit(dowel.address, others.filter((_, k) => k % lanes === n), roles, path.join(out, `${n + 1}`))),
  audit(mailing.address, mailPages, {}, path.join(out, 'mail')),
  audit(refused.address, refused.pages, roles, path.join(out, 'refused')),
]);
await Promise.all([dowel.stop(), mailing.stop(), refused.close()]);
process.exit(Math.max(...codes));
