// Lets the page's worker in, and lets nothing of a person stay on the device after signing out.
const worker = navigator.serviceWorker;
const DAY_MS = 86_400_000;

/** Clocks that were started today and have not ended: [key, clock], the last one first. */
export function runningClocks() {
  return Object.keys(localStorage)
    .filter((key) => key.startsWith('dowel clock '))
    .map((key) => [key, JSON.parse(localStorage[key])])
    .filter(([, { start, done }]) => !done && Date.now() - start < DAY_MS / 4)
    .sort(([, a], [, b]) => b.start - a.start);
}

/** What others left open goes; their unsent results are sealed and wait for them. */
function tidy(person) {
  const before = localStorage['dowel person'];
  for (const key of Object.keys(localStorage)) {
    const [, kind, whose] = key.split(' ');
    // the other keys (an upload, a place in a video, a write-up) do not say whose they are
    const theirs = ['draft', 'clock'].includes(kind) && key.startsWith('dowel ') ? whose !== String(person) : before && before !== String(person);
    if (theirs) localStorage.removeItem(key);
    else if (kind === 'clock' && Date.now() - JSON.parse(localStorage[key]).start > 7 * DAY_MS) localStorage.removeItem(key);
  }
  localStorage['dowel person'] = person;
}

async function begin() {
  worker.addEventListener('message', ({ data }) => data.person && tidy(data.person));
  const registration = await worker.register('/sw.js', { type: 'module', updateViaCache: 'none' });
  const { active } = await worker.ready;
  // a new version waits until no clock is running
  if (registration.waiting && !runningClocks().length) registration.waiting.postMessage('now');
  active.postMessage('refresh');
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
  try {
    const { forget, forgetPages, list } = await import('./queue.js');
    const waiting = (await list()).length;
    const words = `${waiting} ${waiting === 1 ? 'result has' : 'results have'} not been sent yet and would be lost. Sign out all the same?`;
    if (waiting && !confirm(words)) return;
    await forgetPages();
    await forget();
  } catch {
    // no store here: nothing is in it
  }
  localStorage.clear();
  sessionStorage.clear();
  form.submit();
});
