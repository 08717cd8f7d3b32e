// The load of each set, or its reps where nobody knows them beforehand, noted in the rest after it: typed once, then a touch a set.

/** Steps that plates make. */
const STEP = { kg: 2.5, lb: 5, reps: 1 };

/** The last step of work that was done; undefined where none was. */
export function lastDone(plan, state) {
  const done = state.splits.filter(({ index }) => plan.steps[index].kind === 'work');
  return done.length ? plan.steps[done.at(-1).index] : undefined;
}

/** What to begin at for a set: as noted for the one before, or as it was written; null where nothing is known. */
export function beginAt({ plan, loads }, set) {
  const from = plan.from ?? [];
  const noted = Object.keys(loads).map(Number).filter((n) => n < set);
  if (noted.length && from.length < 2) return loads[Math.max(...noted)];
  return from[(set - 1) % from.length] ?? null;
}

/** `clock()` is the clock that runs; `changed` is called when a load was noted. Returns what shows the box for a state. */
export function noteLoads(box, clock, changed) {
  if (!box) return () => {};
  const [words, input, same] = ['load-of', 'mass', 'load-same'].map((name) => box.querySelector(`[data-${name}]`));
  let set = 0;
  const note = (value) => {
    const { loads, plan } = clock();
    const to = plan.unit === 'reps' ? 1 : 100;
    if (value > 0 && value < 2000) loads[set] = Math.round(value * to) / to;
    else delete loads[set];
    changed();
  };
  input.addEventListener('input', () => note(Number(input.value.replace(',', '.'))));
  box.addEventListener('click', ({ target }) => {
    const by = target.closest('button')?.dataset.by;
    if (by === undefined) return;
    const { loads, plan } = clock();
    note((loads[set] ?? beginAt(clock(), set) ?? 0) + Number(by) * STEP[plan.unit]);
    input.value = loads[set] ?? '';
  });
  return (state) => {
    const { plan, loads } = clock();
    const last = plan.unit && lastDone(plan, state);
    box.hidden = !last || (state.phase === 'running' && state.step.kind !== 'rest');
    if (box.hidden) return;
    set = last.round;
    const title = plan.unit === 'reps' ? `Reps of ${last.unit} ${set}` : `Load of set ${set}, ${plan.unit}`;
    const begin = beginAt(clock(), set);
    if (words.textContent !== title) {
      words.textContent = title;
      input.value = loads[set] ?? '';
    }
    input.placeholder = begin ?? '';
    // the number that it takes is on it
    same.textContent = begin === null ? '' : `${begin} ${plan.unit}`;
    same.hidden = begin === null || loads[set] !== undefined;
  };
}
