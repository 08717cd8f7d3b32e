// Lets the page's worker in, and lets nothing of a person stay on the device after signing out.
import { device, person, tab } from '../device.js';

const worker = navigator.serviceWorker;
const DAY_MS = 86_400_000;
/** A new build comes in when a page has been left alone for so long. */
const CALM_MS = 5000;

const clocks = () => device.keys('dowel clock ').map((key) => [key, device.get(key)]);

/** Whether a clock has not ended that was started in the last hours. */
const clockRuns = () => clocks().some(([, clock]) => clock && !clock.done && Date.now() - clock.start < DAY_MS / 4);

// what others left open goes; their unsent results are sealed and wait for them
for (const key of device.keys('dowel ')) if (key.split(' ')[2] !== person) device.drop(key);
for (const [key, clock] of clocks()) if (!(Date.now() - clock?.start < 7 * DAY_MS)) device.drop(key);

/**
 * Resolves when nobody has touched the page for a while. Whoever goes on to another page touches this one first, and a worker
 * that is replaced while it is asked for a page may never answer: the page that waits for it would not come.
 */
const calm = () =>
  new Promise((done) => {
    let timer;
    const again = () => {
      clearTimeout(timer);
      timer = setTimeout(done, CALM_MS);
    };
    for (const touch of ['pointerdown', 'keydown', 'submit', 'beforeunload']) addEventListener(touch, again, true);
    again();
  });

async function begin() {
  const registration = await worker.register('/sw.js', { type: 'module', updateViaCache: 'none' });
  const { active } = await worker.ready;
  active.postMessage('refresh');
  if (!registration.waiting) return;
  await calm();
  // a new version waits until no clock is running
  if (!clockRuns()) registration.waiting?.postMessage('now');
}

if (worker) {
  const go = () => begin().catch(() => {});
  if (document.readyState === 'complete') go();
  else addEventListener('load', go);
}

document.addEventListener('submit', async (event) => {
  const form = event.target;
  if (form.getAttribute('action') !== '/sign-out') return;
  event.preventDefault();
  const { forget, forgetPages, list } = await import('./queue.js');
  // no store here: nothing is in it
  const waiting = (await list().catch(() => [])).length;
  const words = `${waiting} ${waiting === 1 ? 'result has' : 'results have'} not been sent yet and would be lost. Sign out all the same?`;
  if (waiting && !confirm(words)) return;
  await Promise.allSettled([forgetPages(), forget()]);
  device.clear();
  tab.clear();
  form.submit();
});
