// "Not today?" at a line of the clock: sent without leaving the page, so that the clock and its sounds go on.

const NO_SIGNAL = 'There is no signal, so the line could not be changed. Leave out what does not fit, or do less of it, and say so when you log.';
const NO_SIGNAL_HURTS = 'There is no signal, so your coach has not been told. Stop this one all the same. If it is sharp, or does not pass, see a doctor.';

/** Of the answer to "It hurts" everything else stands aside. */
let only = null;

/**
 * `clock` can `hold()` still, `goOn()` and `end()`. `apply` is given the clock's section as it stands after a change.
 */
export function offerChanges(screen, clock, apply) {
  const box = screen.querySelector('[data-change]');
  if (!box) return;
  const says = box.querySelector('[data-change-says]');
  const hurt = box.querySelector('[data-hurt]');
  const close = () => (box.open = false);
  const formOf = (action) => box.querySelector(`form[action="${CSS.escape(action)}"]`);

  const toggled = () => {
    if (box.open) return openOnly(box);
    only = null;
    says.textContent = '';
    hurt.hidden = true;
    return undefined;
  };
  box.addEventListener('toggle', toggled);
  // it may have been opened to bring this in
  toggled();
  hurt.addEventListener('click', (event) => {
    if (!event.target.closest('button')) return;
    if (event.target.closest('[data-hurt-stop]')) clock.end();
    else clock.goOn();
    close();
  });
  box.addEventListener('submit', async (event) => {
    const form = event.target;
    event.preventDefault();
    says.textContent = '';
    const action = form.getAttribute('action');
    const hurts = event.submitter.value === 'hurts';
    const body = new URLSearchParams([...new FormData(form), [event.submitter.name, event.submitter.value]]);
    if (hurts && clock.hold()) {
      says.textContent = 'The clock stands still.';
      hurt.hidden = false;
    }
    try {
      const answer = await fetch(form.action, { method: 'POST', body, headers: { accept: 'text/html' } });
      const page = new DOMParser().parseFromString(await answer.text(), 'text/html').querySelector('[data-clock]');
      if (answer.ok && page) {
        box.querySelector('[data-changes]').replaceWith(page.querySelector('[data-changes]'));
        only = hurts ? action : null;
        if (!hurts) close();
        apply(page);
        if (hurts) showAnswer(formOf(action));
      } else if (answer.redirected) location.assign(answer.url);
      else says.textContent = 'This was not taken. Go back to the day and try it there.';
    } catch {
      says.textContent = hurts ? NO_SIGNAL_HURTS : NO_SIGNAL;
      box.querySelector('.clock-sheet').scrollTop = 0;
    }
  });
}

/** What came of it is opened, seen and read out. */
function showAnswer(form) {
  form.querySelector('details').open = true;
  form.closest('.clock-sheet').scrollTop = 0;
  form.querySelector('.note')?.focus({ preventScroll: true });
}

/** Where there is one line to choose, it is chosen. */
function openOnly(box) {
  const here = [...box.querySelectorAll('[data-of]:not([hidden]) > details')];
  if (here.length === 1) here[0].open = true;
}

/** Only the lines that are on now can be changed, and those that were left out. */
export function showChanges(screen, on) {
  for (const form of screen.querySelectorAll('[data-of]')) {
    const of = form.dataset.of.split(' ').filter(Boolean).map(Number);
    const elsewhere = of.length > 0 && on.length > 0 && !of.some((i) => on.includes(i));
    form.hidden = only === null ? elsewhere : form.getAttribute('action') !== only;
  }
}
