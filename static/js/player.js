// [data-player]: jumps to chapters, plays slower, loops a stretch, keeps its place. It never plays by itself.
import { device, named } from "./device.js";

const tell = (text) => (document.querySelector("[data-player-says]") ?? {}).textContent = text;

function keep(video) {
  const key = named("place", new URL(video.src).pathname);
  let last = -1;
  const put = () => {
    const now = Math.floor(video.currentTime);
    if (now === last) return;
    last = now;
    // begun, and not yet over
    if (now > 3 && !(video.duration - now < 3)) device.set(key, now);
    else device.drop(key);
  };
  video.addEventListener("timeupdate", put);
  return device.get(key);
}

function start(box) {
  const video = box.querySelector("video");
  const links = [...document.querySelectorAll("a[data-start]")];
  const chapters = links.map((a) => ({ a, from: Number(a.dataset.start), to: Number(a.dataset.end) }));
  // before anything is loaded this is where it will begin
  const jump = (seconds) => (video.currentTime = seconds);
  // a line's chapter lies inside its part's: the last that began is the one
  const at = (time) => chapters.findLast((c) => c.from <= time && time < c.to);
  let loop = null;

  const placed = keep(video);
  const asked = () => chapters.find((c) => location.hash && c.a.closest("li")?.id === location.hash.slice(1));
  const begin = () => {
    if (asked()) jump(asked().from);
    else if (placed) {
      jump(placed);
      tell("It goes on where you left it.");
    }
  };
  begin();
  addEventListener("hashchange", () => asked() && jump(asked().from));

  for (const { a, from } of chapters) {
    a.addEventListener("click", (event) => {
      event.preventDefault();
      jump(from);
      if (loop) loop = chapters.find((c) => c.a === a);
      video.play().catch(() => {});
      video.scrollIntoView({ block: "nearest" });
    });
  }

  video.addEventListener("timeupdate", () => {
    if (loop && !video.seeking && (video.currentTime >= loop.to || video.currentTime < loop.from - 1)) jump(loop.from);
    const now = at(video.currentTime);
    for (const c of chapters) c === now ? c.a.setAttribute("aria-current", "true") : c.a.removeAttribute("aria-current");
  });

  // at the very end the browser has stopped already
  video.addEventListener("ended", () => {
    if (!loop) return;
    jump(loop.from);
    video.play().catch(() => {});
  });

  const speeds = [...box.querySelectorAll("[data-speed]")];
  for (const button of speeds) {
    button.addEventListener("click", () => {
      video.defaultPlaybackRate = video.playbackRate = Number(button.dataset.speed);
      for (const b of speeds) b.setAttribute("aria-pressed", String(b === button));
    });
  }
  const again = box.querySelector("[data-loop]");
  again?.addEventListener("click", () => {
    loop = loop ? null : at(video.currentTime) ?? { from: 0, to: Infinity };
    video.loop = loop?.to === Infinity;
    again.setAttribute("aria-pressed", String(Boolean(loop)));
    const title = loop?.a?.textContent.trim().replace(/\s+/g, " ");
    tell(loop ? `Again and again: ${title ?? "the whole video"}.` : "");
  });
  box.querySelector("[data-controls]")?.removeAttribute("hidden");

  // how long it is and its first picture, unless the line is paid by the megabyte: then nothing before it is asked for
  const line = navigator.connection;
  if (!line?.saveData && line?.type !== "cellular") video.preload = "metadata";
}

for (const box of document.querySelectorAll("[data-player]")) start(box);
