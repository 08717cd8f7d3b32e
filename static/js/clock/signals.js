// How the clock makes itself known: sound and voice as they were last chosen here, also after the tab was killed.
import { device, named } from '../device.js';
import { allowSound, asleep } from './sound.js';

const KEY = named('signals', 'clock');

/**
 * `settings` holds the boxes, `wake` is shown where a clock that goes on would be silent: after the page was loaded again
 * browsers give no sound before the screen is touched, and a touch anywhere else counts something.
 */
export function offerSignals(settings, wake) {
  const boxes = [...settings.querySelectorAll('input')];
  const chosen = device.get(KEY) ?? {};
  for (const box of boxes) box.checked = chosen[box.name] ?? box.checked;
  const wanted = () => {
    const { sound: loud, voice } = Object.fromEntries(boxes.map((box) => [box.name, box.checked]));
    return { loud, voice };
  };
  settings.addEventListener('change', () => device.set(KEY, Object.fromEntries(boxes.map((box) => [box.name, box.checked]))));
  wake?.addEventListener('click', allowSound);
  return { wanted, show: (runs) => wake && (wake.hidden = !(runs && wanted().loud && asleep())) };
}
