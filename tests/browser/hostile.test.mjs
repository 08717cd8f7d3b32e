// Words that would run, were they ever written into a page unescaped: through every field, then every page in a browser.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { shell, start } from './dowel.mjs';

const MARK = 'ranit';
const PAYLOADS = [
  `<script>window.${MARK}=1</script>`,
  `"><img src=x onerror="window.${MARK}=1">`,
  `'><svg onload=window.${MARK}=1>`,
  `</textarea><script>window.${MARK}=1</script>`,
  `</title><img src=x onerror=window.${MARK}=1>`,
  `" autofocus onfocus="window.${MARK}=1" x="`,
  `javascript:window.${MARK}=1`,
  `<iframe srcdoc="<script>parent.${MARK}=1</script>">`,
  `<a href="javascript:window.${MARK}=1">tap</a>`,
  `{{constructor.constructor('window.${MARK}=1')()}}`,
  `<style>*{background:url(//evil.example)}</style>`,
  `<!--<script>window.${MARK}=1//-->`,
  `\u202E<b>turned</b>\u2028`,
];

let dowel, chromium, coach, member;
const wanted = (text) => text.replace(/\s+/g, ' ').trim();

const post = (address, fields, cookie) =>
  fetch(new URL(address, dowel.address), {
    method: 'POST',
    redirect: 'manual',
    headers: { cookie, 'content-type': 'application/x-www-form-urlencoded', origin: dowel.address },
    body: new URLSearchParams(fields).toString(),
  });
const get = async (address, cookie) => (await fetch(new URL(address, dowel.address), { headers: { cookie } })).text();
const links = (html) => [...html.matchAll(/(?:href|action)="(\/[^"#]*)/g)].map((m) => m[1].replaceAll('&amp;', '&'));

before(async () => {
  dowel = await start('demo');
  const printed = dowel.printed();
  const password = printed.match(/password:\s+(.+)/)[1];
  const signIn = async (name) =>
    (await post('/sign-in', { name, password }, '')).headers.getSetCookie()[0].split(';')[0];
  coach = await signIn(printed.match(/as the coach:\s+(\S+)/)[1]);
  member = await signIn(printed.match(/as a member:\s+(\S+)/)[1]);
  chromium = await shell();
});
after(async () => {
  await chromium?.close();
  await dowel?.stop();
});

/** Every form that the pages of this person show is sent with the payload in each of its text fields. */
async function fillEverything(cookie, pages, payload) {
  let sent = 0;
  for (const page of pages) {
    const html = await get(page, cookie);
    for (const [, tag, body] of html.matchAll(/<form([^>]*)>([\s\S]*?)<\/form>/g)) {
      const action = tag.match(/action="([^"]+)"/)?.[1] ?? page;
      if (/sign-out|leave|password|unpublish|delete|withdraw|remove|role|reset/.test(action)) continue;
      const fields = {};
      for (const [input] of body.matchAll(/<(?:input|textarea)[^>]*>/g)) {
        const name = input.match(/name="([^"]+)"/)?.[1];
        const type = input.match(/type="([^"]+)"/)?.[1] ?? 'text';
        const value = input.match(/value="([^"]*)"/)?.[1] ?? '';
        if (!name || type === 'file') continue;
        if (type === 'hidden') fields[name] = value;
        else if (/radio|checkbox/.test(type)) { if (/ checked/.test(input)) fields[name] = value || 'on'; }
        else fields[name] = /^(zone|done_on|day|date|score|load|minutes|rpe|kg)$/.test(name) ? value : payload;
      }
      for (const [, name, options] of body.matchAll(/<select[^>]*name="([^"]+)"[^>]*>([\s\S]*?)<\/select>/g))
        fields[name] = options.match(/value="([^"]*)"/)?.[1] ?? '';
      await post(action.replaceAll('&amp;', '&'), fields, cookie);
      sent++;
    }
  }
  return sent;
}

test('nothing that is typed ever runs, whoever reads it', { timeout: 240_000 }, async () => {
  const group = links(await get('/groups', coach)).find((a) => /^\/groups\/\d+$/.test(a));
  const today = new Date().toISOString().slice(0, 10);
  const week = new URL((await fetch(`${dowel.address}/week`, { headers: { cookie: coach } })).url).pathname;
  const person = links(await get(group, coach)).find((a) => /^\/people\/\d+$/.test(a));
  const asking = links(await get('/today', member)).find((a) => /^\/sessions\/\d+\/questions/.test(a));
  const coachPages = ['/groups', group, person, `${group}/days/${today}/5`, '/movements/new', '/questions', '/review', '/trail', '/coaches', week];
  const memberPages = ['/today', '/you', '/you/limits', '/history', '/questions-of-mine', '/movements', ...(asking ? [asking] : [])];
  let sent = 0;
  for (const payload of PAYLOADS) {
    sent += await fillEverything(member, ['/you', '/you/limits', ...(asking ? [asking] : []), '/today'], payload);
    sent += await fillEverything(coach, ['/groups', group, `${group}/days/${today}/5`, '/questions', '/movements/new'], payload);
  }
  assert.ok(sent > 100, `only ${sent} forms were sent`);
  let opened = 0;
  for (const [cookie, pages] of [[coach, coachPages], [member, memberPages]]) {
    const context = await chromium.newContext();
    const [name, value] = cookie.split('=');
    await context.addCookies([{ name, value, url: dowel.address }]);
    const page = await context.newPage();
    const troubles = [];
    page.on('dialog', (dialog) => { troubles.push(`dialog ${dialog.message()}`); dialog.dismiss(); });
    page.on('request', (r) => { if (!r.url().startsWith(dowel.address) && !r.url().startsWith('data:')) troubles.push(`asked ${r.url()}`); });
    page.on('console', (m) => { if (/Content Security Policy/.test(m.text())) troubles.push(m.text()); });
    for (const address of pages) {
      await page.goto(dowel.address + address);
      opened++;
      assert.equal(await page.evaluate((mark) => window[mark], MARK), undefined, `something ran on ${address}`);
      const bad = await page.evaluate(() =>
        [...document.querySelectorAll('[onerror],[onload],[onfocus],iframe,a[href^="javascript"],svg[onload],script:not([src])')].length);
      assert.equal(bad, 0, `elements that nobody wrote on ${address}`);
    }
    assert.deepEqual(troubles, [], 'no dialog, no other origin, nothing that the policy had to stop');
    await context.close();
  }
  assert.ok(opened >= 15);
  const shown = wanted(await get(group, coach));
  assert.ok(/&#60;|&lt;/.test(shown) || shown.includes('turned'), 'what was typed is shown as it was typed');
});

test('the guard: a page that does write it unescaped would be noticed', async () => {
  const page = await (await chromium.newContext()).newPage();
  await page.setContent(`<p>"><img src=x onerror="window.${MARK}=1"></p>`);
  await page.waitForFunction((mark) => window[mark] === 1, MARK, { timeout: 5_000 });
});
