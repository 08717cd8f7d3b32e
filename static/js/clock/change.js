// "Not today?" at a line of the clock: sent without leaving the page, so that the clock and its sounds go on.

/** `apply` is given the clock's section as it stands after a change. */
export function offerChanges(screen, apply) {
  const box = screen.querySelector('[data-change]');
  if (!box) return;
  const tell = (text) => (box.querySelector('[data-change-says]').textContent = text);
  box.addEventListener('submit', async (event) => {
    const form = event.target;
    event.preventDefault();
    tell('');
    const body = new URLSearchParams([...new FormData(form), [event.submitter.name, event.submitter.value]]);
    try {
      const answer = await fetch(form.action, { method: 'POST', body, headers: { accept: 'text/html' } });
      const page = new DOMParser().parseFromString(await answer.text(), 'text/html').querySelector('[data-clock]');
      if (answer.ok && page) {
        box.querySelector('[data-changes]').replaceWith(page.querySelector('[data-changes]'));
        box.open = event.submitter.value === 'hurts';
        apply(page);
      } else if (answer.redirected) location.assign(answer.url);
      else tell('This was not taken. Go back to the day and try it there.');
    } catch {
      tell('There is no signal, so the line could not be changed. Leave out what does not fit, or do less of it, and say so when you log.');
    }
  });
}

/** Only the lines that are on now can be changed, and those that were left out. */
export function showChanges(screen, on) {
  for (const form of screen.querySelectorAll('[data-of]')) {
    const of = form.dataset.of.split(' ').filter(Boolean).map(Number);
    form.hidden = of.length > 0 && on.length > 0 && !of.some((i) => on.includes(i));
  }
}
