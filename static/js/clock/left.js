// Leads back to a clock that has not ended: at its part, and for some hours from the top of the page. One at most stands there;
// those before it have only left the top.
import { device, named, person } from '../device.js';

/** Since it was touched last. */
const AT_TOP_MS = 10_800_000;

const touched = ({ start, taps }) => taps.at(-1)?.at ?? start;

// whoever logged a part needs its clock no more: once the page says that it was taken, not while it waits or where it was refused
for (const key of device.keys(named('clock', ''))) {
  const clock = device.get(key);
  const part = clock?.logged && document.getElementById(clock.logged);
  if (part?.matches('.done') && !part.querySelector('form.score .errors')) device.set(key, { ...clock, fill: undefined, logged: undefined, done: true, used: true });
}

/** Clocks that have not ended: [key, clock], the one that was touched last first. */
const left = device
  .keys(named('clock', ''))
  .map((key) => [key, device.get(key)])
  .filter(([, clock]) => clock?.plan && !clock.done)
  .sort(([, a], [, b]) => touched(b) - touched(a));

for (const [, { page }] of left) {
  for (const link of document.querySelectorAll('.do > a[href$="/clock"]')) if (link.pathname === page) link.textContent = 'Back to the clock';
}

const [last] = left;
if (last && !last[1].put && Date.now() - touched(last[1]) < AT_TOP_MS) showAtTop(...last);

function showAtTop(key, clock) {
  const link = Object.assign(document.createElement('a'), { href: clock.page, textContent: `Back to the clock: ${clock.name}` });
  const away = Object.assign(document.createElement('button'), { type: 'button', className: 'plain', textContent: 'Put away' });
  const here = Object.assign(document.createElement('p'), { className: 'notice row to-clock' });
  here.append(link, away);
  away.addEventListener('click', () => {
    // it stays as it is, for whoever opens it at its part
    device.set(key, { ...clock, put: true });
    here.remove();
  });
  document.getElementById('main').prepend(here);
}

document.addEventListener('submit', ({ target }) => {
  const [session, part] = target.getAttribute('action')?.match(/^\/sessions\/(\d+)\/parts\/(\d+)\/result$/)?.slice(1) ?? [];
  const key = named('clock', `${session} p${part}`);
  const clock = part && device.get(key);
  if (clock && person) device.set(key, { ...clock, logged: `s${session}p${part}` });
});
