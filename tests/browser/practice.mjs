// A small practice made over HTTP, as forms would make it: one coach, one group, members, and sessions that are published.
import { start } from './dowel.mjs';

const PASSWORD = 'driftwood and tar';
const DAY_MS = 86_400_000;

/** `2026-11-25`, so many days from today, in UTC. */
export const day = (ahead = 0) => new Date(Date.now() + ahead * DAY_MS).toISOString().slice(0, 10);

const monday = (iso) => {
  const at = new Date(`${iso}T12:00Z`);
  at.setUTCDate(at.getUTCDate() - ((at.getUTCDay() + 6) % 7));
  return at.toISOString().slice(0, 10);
};

/** Posts forms and reads pages as one person. */
function caller(address) {
  const jar = new Map();
  const call = async (path, fields) => {
    const answer = await fetch(new URL(path, address), {
      method: fields ? 'POST' : 'GET',
      redirect: 'manual',
      headers: { cookie: [...jar.values()].join('; '), origin: address, ...(fields && { 'content-type': 'application/x-www-form-urlencoded' }) },
      body: fields && new URLSearchParams(fields).toString(),
    });
    for (const set of answer.headers.getSetCookie()) jar.set(set.split('=')[0], set.split(';')[0]);
    const text = await answer.text();
    if (answer.status >= 400) throw new Error(`${path}: ${answer.status} ${text.slice(0, 2000)}`);
    return { text, to: answer.headers.get('location') };
  };
  call.cookie = () => jar.get('dowel');
  return call;
}

/**
 * A running program with these sessions: a list of { on: date, slot, text }. `member(name)` joins and gives what a browser
 * needs to be signed in; `coach` calls as the coach does.
 */
export async function practice(sessions) {
  const dowel = await start();
  const coach = caller(dowel.address);
  const link = dowel.run('coach', 'add', '--name', 'Mara', '--sign-in', 'mara@example.org', '--zone', 'UTC').match(/http:\S+/)[0];
  await coach(new URL(link).pathname, { password: PASSWORD });
  const group = (await coach('/groups', { name: 'Harbour' })).to.split('?')[0];
  const publish = async (list) => {
    for (const { on, slot = 1, text } of list) {
      const place = `${group}/days/${on}/${slot}`;
      const edit = (await coach(place)).text.match(/name="edit" value="(\d+)"/)[1];
      await coach(place, { text, edit });
    }
    for (const week of new Set(list.map(({ on }) => monday(on)))) {
      const page = (await coach(`${group}/weeks/${week}/publish`)).text;
      await coach(`${group}/weeks/${week}/publish`, { mark: page.match(/name="mark" value="([^"]*)"/)[1] });
    }
  };
  await publish(sessions);
  const member = async (name) => {
    await coach(`${group}/invitations`, { label: name });
    const invitation = (await coach(group)).text.match(/\/join\/[\w-]+/)[0];
    const own = caller(dowel.address);
    await own(invitation, { name, sign_in: name.toLowerCase(), password: PASSWORD, zone: 'UTC', units: 'kg' });
    await own('/welcome/kit', {});
    await own('/welcome/limits', {});
    await own('/welcome/cautions', { accept: 'on' });
    return { name: name.toLowerCase(), password: PASSWORD, call: own };
  };
  return { dowel, coach, group, member, publish, stop: dowel.stop };
}

/** The cookie of a caller, for a browser that speaks to `address`. */
export function cookieFor(address, call) {
  const [name, value] = call.cookie().split(/=(.*)/);
  return { name, value, url: address };
}
