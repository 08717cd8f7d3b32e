// A clock that has ended fills in the log: score, minutes, splits and the version that was done. Only what is still as the page came.
import { device, named } from '../device.js';

/** One touch of "Done" says what the clock knows: of plain sets those that were done, and not all that were offered. */
function fillShort(form, { score, minutes, note, version_id }) {
  if (score && form.elements.score) form.elements.score.value = score;
  for (const [name, value] of Object.entries({ minutes, note, version_id })) {
    const field = form.elements[name] ?? form.appendChild(Object.assign(document.createElement('input'), { type: 'hidden', name }));
    field.value = value;
  }
}

/** A field as the page came, and not one that came back with what was typed. */
const untouched = (form, field) => !field.value || (field.value === field.defaultValue && !form.querySelector('.errors'));

/** What is still as it came, once: then it is kept like anything that was typed. */
function fillLong(form, fill) {
  for (const [name, value] of Object.entries(fill)) {
    const field = form.elements[name];
    if (!field || !value || (field.type !== 'hidden' && !untouched(form, field))) continue;
    field.value = value;
    field.dispatchEvent(new Event('input', { bubbles: true }));
  }
}

for (const form of document.querySelectorAll('form.score[action^="/sessions/"]')) {
  const [person, session, part] = form.dataset.keep.split(' ');
  const key = named('clock', `${session} ${part}`, person);
  const clock = device.get(key);
  if (!clock?.fill) continue;
  const log = form.closest('details');
  const before = log.previousElementSibling;
  // nothing is kept of the short form: it is filled as often as the page is opened
  if (before.matches('form')) fillShort(before, clock.fill);
  if (!clock.used) {
    fillLong(form, clock.fill);
    device.set(key, { ...clock, used: true });
    log.open = true;
  }
  if (location.hash !== `#s${session}${part}`) continue;
  form.closest('details.part').open = true;
  (before.getClientRects().length ? before : log).scrollIntoView();
  form.elements.score?.focus({ preventScroll: true });
}
