// The load of each set, noted in the rest after it where loads are scored: typed once, then a touch a set.

/** Steps that plates make. */
const STEP = { kg: 2.5, lb: 5 };

/** The last set that was done; 0 where none was. */
export function lastSet(plan, state) {
  const done = state.splits.filter(({ index }) => plan.steps[index].kind === 'work');
  return done.length ? plan.steps[done.at(-1).index].round : 0;
}

/** `clock()` is the clock that runs; `changed` is called when a load was noted. Returns what shows the box for a state. */
export function noteLoads(box, clock, changed) {
  if (!box) return () => {};
  const [words, input, same] = ['load-of', 'mass', 'load-same'].map((name) => box.querySelector(`[data-${name}]`));
  let set = 0;
  const before = () => {
    const { loads } = clock();
    const noted = Object.keys(loads).map(Number).filter((n) => n < set);
    return noted.length ? loads[Math.max(...noted)] : null;
  };
  const note = (value) => {
    const { loads } = clock();
    if (value > 0 && value < 2000) loads[set] = Math.round(value * 100) / 100;
    else delete loads[set];
    changed();
  };
  input.addEventListener('input', () => note(Number(input.value.replace(',', '.'))));
  box.addEventListener('click', ({ target }) => {
    const by = target.closest('button')?.dataset.by;
    if (by === undefined) return;
    const { loads, plan } = clock();
    note((loads[set] ?? before() ?? 0) + Number(by) * STEP[plan.unit]);
    input.value = loads[set] ?? '';
  });
  return (state) => {
    const { plan, loads } = clock();
    set = plan.unit ? lastSet(plan, state) : 0;
    box.hidden = !set || (state.phase === 'running' && state.step.kind === 'work');
    if (box.hidden) return;
    const title = `Load of set ${set}, ${plan.unit}`;
    if (words.textContent !== title) {
      words.textContent = title;
      input.value = loads[set] ?? '';
    }
    input.placeholder = before() ?? '';
    same.hidden = before() === null || loads[set] !== undefined;
  };
}
