// Lines of chapters as they are typed: `1:24 B. Ten rounds`, set in where they are about one movement.
const LINE = /^(\s*)(?:(\d+):)?(\d+):(\d{2})(?:[.,](\d{1,3}))?\s+(.*)$/;

/** Seconds, whether set in, title; null for a line of another shape. */
export function parse(line) {
  const found = LINE.exec(line);
  if (!found) return null;
  const [, indent, h = 0, m, s, rest = "0", title] = found;
  return { at: Number(h) * 3600 + Number(m) * 60 + Number(s) + Number(`0.${rest}`), nested: indent !== "", title: title.trim() };
}

/** `1:24`, `1:02:03`: the whole second before. */
export function clock(seconds) {
  const whole = Math.floor(seconds);
  const two = (n) => String(n).padStart(2, "0");
  const [h, m, s] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60];
  return h ? `${h}:${two(m)}:${two(s)}` : `${m}:${two(s)}`;
}

/** The text with a chapter that begins now. One that stands there already moves; a line that cannot be read stays. */
export function marked(text, seconds, title, nested) {
  const lines = text.split("\n").filter((line) => line.trim() !== "");
  const at = Math.floor(seconds);
  const after = (line) => {
    const c = parse(line);
    return c && (c.at > at || (c.at === at && c.nested && !nested));
  };
  let left = lines;
  if (!nested) left = lines.filter((line) => parse(line)?.title !== title || parse(line).nested);
  else left = lines.filter((line) => !(parse(line)?.nested && parse(line).title === title && Math.floor(parse(line).at) === at));
  const place = left.findIndex(after);
  const line = `${nested ? "  " : ""}${clock(seconds)} ${title}`;
  left.splice(place < 0 ? left.length : place, 0, line);
  return `${left.join("\n")}\n`;
}
