// Comfort for the coverage page: tap a seat, and a chosen box's place in the fields.
// Without this script the same is typed.

const form = document.getElementById("coverage-form");
const positions = JSON.parse(document.getElementById("box-positions")?.textContent ?? "{}");

// Where a tap on the map lies in metres.
function metres(map, event) {
  const svg = map.querySelector("svg");
  const spot = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
  const { originX, originY, scale } = map.dataset;
  return [(spot.x - originX) / scale, (originY - spot.y) / scale];
}

form?.addEventListener("click", (event) => {
  const map = event.target.closest(".coverage-map[data-scale]");
  if (!map || !event.target.closest("svg")) return;
  const [x, y] = metres(map, event);
  form.elements.seat_x.value = x.toFixed(1);
  form.elements.seat_y.value = y.toFixed(1);
  const several = form.querySelectorAll(".coverage-map[data-scale]").length > 1;
  form.elements.seat_in.value = several ? map.dataset.area : "";
  form.elements.seat_x.dispatchEvent(new Event("change", { bubbles: true }));
});

// Before htmx hears of it: the fields of another box show where that one stands.
form?.addEventListener("change", (event) => {
  if (event.target.name !== "box") return;
  const place = positions[event.target.value] ?? {};
  form.elements.held.value = event.target.value;
  for (const name of ["x_m", "y_m", "z_m", "azimuth_deg", "tilt_deg"]) {
    form.elements[name].value = place[name] ?? "";
  }
}, { capture: true });
