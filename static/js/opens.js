// A checkbox with data-opens="id" shows the element of that id only while it is ticked.
for (const box of document.querySelectorAll("[data-opens]")) {
  const place = document.getElementById(box.dataset.opens);
  const show = () => { place.hidden = !box.checked && !place.querySelector("input")?.value; };
  box.addEventListener("change", show);
  show();
}
