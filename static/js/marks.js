// Underlines in a text area: a layer over it holds the same words unseen, with a mark under each place.

/** Places that are still where they were after an edit; one that was typed into is gone. A place is {from, to, error}. */
export function shift(places, before, after) {
  const most = Math.min(before.length, after.length);
  let head = 0;
  while (head < most && before[head] === after[head]) head++;
  let tail = 0;
  while (tail < most - head && before[before.length - 1 - tail] === after[after.length - 1 - tail]) tail++;
  const moved = after.length - before.length;
  return places.flatMap((p) => {
    if (p.to < head || (p.to === head && head === before.length)) return [p];
    if (p.from >= before.length - tail) return [{ ...p, from: p.from + moved, to: p.to + moved }];
    return [];
  });
}

/** Draws marks over `area` into `layer` and keeps them in place. Returns the function that sets the places. */
export function marks(area, layer) {
  let text = area.value;
  let places = [];
  const follow = () => {
    layer.style.width = `${area.clientWidth}px`;
    layer.style.height = `${area.clientHeight}px`;
    layer.scrollTop = area.scrollTop;
  };
  const draw = () => {
    const nodes = [];
    let at = 0;
    for (const { from, to, error } of [...places].sort((a, b) => a.from - b.from)) {
      if (from < at || to > text.length) continue;
      const mark = document.createElement('mark');
      if (error) mark.className = 'error';
      mark.textContent = text.slice(from, to);
      nodes.push(text.slice(at, from), mark);
      at = to;
    }
    // a line end at the very end takes no room without something after it
    layer.replaceChildren(...nodes, text.slice(at) + '\u200b');
    follow();
  };
  area.addEventListener('input', () => {
    places = shift(places, text, area.value);
    text = area.value;
    draw();
  });
  area.addEventListener('scroll', follow);
  new ResizeObserver(follow).observe(area);
  return (next) => {
    text = area.value;
    places = next;
    draw();
  };
}
