// Makes room for long names: first the digits give way, down to a third of the screen, then the lines become smaller. Where the
// text is set larger, the digits give way again before the lines are as small as they can be: they are large even so. What is too
// much even then scrolls, and the buttons stay where they are.

/** [size of the lines, what gives way]: at the first step everything is as large as it can be. */
const STEPS = [[1], [1, 'tight'], [0.85, 'tight'], [0.72, 'tight'], [1, 'small'], [0.85, 'small'], [0.72, 'small'], [0.6, 'small']];
/** Of the screen: digits of this size, two rows of them or one drawn as tall, are a third of it from top to bottom. */
const THIRD = 0.222;
let seen;

/** How large digits may be that fill the width, whatever letters the phone has: kept for the style sheet. */
function measure(screen) {
  const digits = [...screen.querySelectorAll('.clock-face > :not(.colon)')];
  const range = document.createRange();
  const wide = digits.map((row) => {
    range.selectNodeContents(row);
    return range.getBoundingClientRect().width;
  });
  const size = parseFloat(getComputedStyle(digits[0].parentElement).fontSize);
  const { paddingLeft, paddingRight } = getComputedStyle(screen);
  const room = screen.clientWidth - parseFloat(paddingLeft) - parseFloat(paddingRight);
  const widest = Math.max(...wide);
  if (widest && size) screen.style.setProperty('--wide', `${Math.floor((room * size) / widest)}px`);
}

/** Two digits that fill the width are drawn taller, as tall as two rows of them would be: a third of the screen. Beside the lines there is room for more. */
function stretch(screen, face) {
  const rem = parseFloat(getComputedStyle(document.documentElement).fontSize);
  const room = screen.classList.contains('small') ? Math.max(0.12 * innerHeight, innerHeight - 26 * rem) : innerHeight;
  const upright = 2 * Math.min(THIRD * innerHeight, room);
  const rows = innerWidth > innerHeight ? 0.7 * innerHeight : upright;
  const tall = rows / parseFloat(getComputedStyle(face).fontSize);
  screen.style.setProperty('--tall', Math.min(1.7, Math.max(1, tall)).toFixed(2));
}

/** `box` is what stands between the digits and the buttons. Tries again only where words or digits came or went, or the phone was turned. */
export function fit(screen, box) {
  const kind = screen.className.replace(/ (tight|small|flash)/g, '');
  const long = screen.querySelector('[data-min]').textContent.length;
  const now = [innerWidth, innerHeight, kind, long, box.querySelectorAll('[hidden]').length, box.textContent.replace(/\d/g, '0')].join();
  if (now === seen) return;
  seen = now;
  measure(screen);
  for (const [size, gives] of STEPS) {
    screen.classList.toggle('tight', Boolean(gives));
    screen.classList.toggle('small', gives === 'small');
    stretch(screen, screen.querySelector('.clock-face'));
    screen.style.setProperty('--fit', size);
    // the buttons lie over what is too tall for the screen
    if (box.scrollHeight <= box.clientHeight && screen.scrollHeight <= screen.clientHeight) return;
  }
}
