// The event page: a step opens for its address, and keeps its address while it is open.

function openFor(hash) {
  const target = hash.length > 1 && document.getElementById(decodeURIComponent(hash.slice(1)));
  if (!target) return;
  let opened = false;
  for (let fold = target.closest("details"); fold; fold = fold.parentElement.closest("details")) {
    opened = opened || !fold.open;
    fold.open = true;
  }
  if (opened) target.scrollIntoView();
}

// `toggle` does not bubble, hence the capture.
document.addEventListener("toggle", (event) => {
  const step = event.target;
  if (!(step instanceof HTMLDetailsElement) || !step.matches(".step")) return;
  const hash = `#${step.querySelector(".step-body").id}`;
  if (step.open) history.replaceState(history.state, "", hash);
  else if (location.hash.startsWith(hash)) history.replaceState(history.state, "", location.pathname);
}, true);

// A tick changes how much of its step is seen.
document.addEventListener("htmx:afterSettle", () => {
  for (const count of document.querySelectorAll("[data-seen]")) {
    const ticks = document.querySelectorAll(`#${count.dataset.seen} .tick`);
    const seen = [...ticks].filter((tick) => tick.dataset.ticked === "yes").length;
    const before = [...ticks].filter((tick) => tick.dataset.before && tick.dataset.ticked !== "yes").length;
    count.textContent = `${seen} of ${ticks.length} seen${before ? `, ${before} in an earlier version` : ""}`;
  }
});

// On paper every step and every output is open; afterwards each is as it was.
let closed = [];
window.addEventListener("beforeprint", () => {
  closed = [...document.querySelectorAll("details:is(.step, .output):not([open])")];
  for (const step of closed) step.open = true;
});
window.addEventListener("afterprint", () => {
  for (const step of closed) step.open = false;
});

window.addEventListener("hashchange", () => openFor(location.hash));
openFor(location.hash);
