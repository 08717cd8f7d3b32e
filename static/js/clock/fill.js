// A clock that has ended fills in the log: score, minutes, splits and the version that was done. Only what is still empty.
import { device, named } from '../device.js';

for (const form of document.querySelectorAll('form.score[action^="/sessions/"]')) {
  const [person, session, part] = form.dataset.keep.split(' ');
  const key = named('clock', `${session} ${part}`, person);
  const clock = device.get(key);
  if (!clock?.fill || clock.used) continue;
  const here = location.hash === `#s${session}${part}`;
  for (const [name, value] of Object.entries(clock.fill)) {
    const field = form.elements[name];
    if (!field || !value || (field.type !== 'hidden' && field.value)) continue;
    field.value = value;
    // kept like anything that was typed
    field.dispatchEvent(new Event('input', { bubbles: true }));
  }
  device.set(key, { ...clock, used: true });
  form.closest('details').open = true;
  if (!here) continue;
  form.closest('details.part').open = true;
  form.closest('details').scrollIntoView();
  form.elements.score?.focus({ preventScroll: true });
}
