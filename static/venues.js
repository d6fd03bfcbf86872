// Corners and places are dragged on the drawings. The form's fields stay the only store: a handle
// writes there, and whatever is typed there moves the handle. Without this script the fields do.

const STEP_M = 0.1;
const LONG_STEP_M = 1;
const SVG = "http://www.w3.org/2000/svg";
const CORNER = /^\s*([-+]?\d*\.?\d+)(?:\s*[,;]\s*|\s+)([-+]?\d*\.?\d+)\s*$/;
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

const snapped = (metres) => Math.round(metres / STEP_M) / Math.round(1 / STEP_M) || 0;
const field = (name) => document.getElementById(`id_${name}`);
const figure = (name) => Number(field(name)?.value.replace(",", ".")) || 0;

function write(name, metres) {
  field(name).value = String(metres);
}

// One drawing: where metres lie on it. `data-` attributes come from the server's own view.
class Drawing {
  constructor(svg) {
    this.svg = svg;
    this.handles = svg.querySelector(".handles");
    const { left, bottom, scale, height, margin } = svg.dataset;
    Object.assign(this, { left: +left, bottom: +bottom, scale: +scale });
    this.height = +height;
    this.margin = +margin;
  }

  place([across, up]) {
    return [
      this.margin + (across - this.left) * this.scale,
      this.height - this.margin - (up - this.bottom) * this.scale,
    ];
  }

  metres(event) {
    const box = this.svg.getBoundingClientRect();
    const shrink = this.svg.viewBox.baseVal.width / box.width;
    const x = (event.clientX - box.left) * shrink;
    const y = (event.clientY - box.top) * shrink;
    return [
      this.left + (x - this.margin) / this.scale,
      this.bottom + (this.height - this.margin - y) / this.scale,
    ];
  }

  outline(css, points) {
    const shape = this.svg.querySelector(`.${css}.edited`);
    shape?.setAttribute("points", points.map((point) => this.place(point).join()).join(" "));
  }
}

// What is edited: its handles, and how its outline lies from above and from the side.
class Area {
  corners() {
    return field("corners")
      .value.split("\n")
      .map((line, index) => ({ line: index, found: CORNER.exec(line) }))
      .filter(({ found }) => found)
      .map(({ line, found }) => ({ line, at: [+found[1], +found[2]] }));
  }

  writeLine(index, text) {
    const lines = field("corners").value.split("\n");
    lines.splice(index, 1, ...(text === null ? [] : [text]));
    field("corners").value = lines.join("\n");
  }

  heights() {
    const turn = (figure("rake_azimuth_deg") * Math.PI) / 180;
    const rise = Math.tan((figure("rake_deg") * Math.PI) / 180);
    const along = this.corners().map(({ at: [x, y] }) => x * Math.sin(turn) + y * Math.cos(turn));
    const lowest = Math.min(...along);
    return along.map((place) => figure("floor_z_m") + rise * (place - lowest));
  }

  draw(plan, section) {
    const corners = this.corners();
    const heights = this.heights();
    const ears = Number(field("ear_height_m").value) || 0;
    plan.outline("plan-area", corners.map(({ at }) => at));
    section.outline("plan-area", corners.map(({ at }, n) => [at[1], heights[n]]));
    section.outline("plan-ears", corners.map(({ at }, n) => [at[1], heights[n] + ears]));
  }

  planHandles() {
    return this.corners().map(({ line, at }, n) => ({
      name: `Corner ${n + 1}`,
      at,
      words: ([x, y]) => `x ${x}, y ${y} m`,
      move: ([x, y]) => this.writeLine(line, `${x}, ${y}`),
      remove: () => this.corners().length > 3 && this.writeLine(line, null),
    }));
  }

  sectionHandles() {
    const corners = this.corners();
    if (!corners.length) return [];
    const heights = this.heights();
    const lowest = heights.indexOf(Math.min(...heights));
    return [
      {
        name: "Floor height",
        at: [corners[lowest].at[1], figure("floor_z_m")],
        upOnly: true,
        words: ([, z]) => `floor ${z} m`,
        move: ([, z]) => write("floor_z_m", z),
      },
    ];
  }

  // On the middle of the longest side; the first ones as a square in front of the stage.
  addCorner() {
    const corners = this.corners();
    if (corners.length < 3) {
      field("corners").value = "-4, 4\n4, 4\n4, 12\n-4, 12";
      return;
    }
    const sides = corners.map((corner, n) => {
      const next = corners[(n + 1) % corners.length];
      const [dx, dy] = [next.at[0] - corner.at[0], next.at[1] - corner.at[1]];
      return { corner, middle: [corner.at[0] + dx / 2, corner.at[1] + dy / 2], long: Math.hypot(dx, dy) };
    });
    const side = sides.reduce((best, each) => (each.long > best.long ? each : best));
    const text = field("corners").value.split("\n")[side.corner.line];
    this.writeLine(side.corner.line, `${text}\n${side.middle.map(snapped).join(", ")}`);
  }
}

class Place {
  draw() {}

  name() {
    return field("name").value || "This place";
  }

  planHandles() {
    return [
      {
        name: this.name(),
        at: [figure("x_m"), figure("y_m")],
        words: ([x, y]) => `x ${x}, y ${y} m`,
        move: ([x, y]) => {
          write("x_m", x);
          write("y_m", y);
        },
      },
    ];
  }

  sectionHandles() {
    return [
      {
        name: `${this.name()}, height`,
        at: [figure("y_m"), figure("z_m")],
        upOnly: true,
        words: ([, z]) => `height ${z} m`,
        move: ([, z]) => write("z_m", z),
      },
    ];
  }
}

function drawn(tag, attributes, parent) {
  const node = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  parent.append(node);
  return node;
}

class Board {
  constructor(root) {
    const [plan, section] = ["plan", "section"].map(
      (name) => new Drawing(root.querySelector(`[data-drawing=${name}]`)),
    );
    this.plan = plan;
    this.section = section;
    this.shape = field("corners") ? new Area() : new Place();
    this.said = root.querySelector("[data-said]");
    for (const tool of root.querySelectorAll(".drag-tools")) tool.hidden = false;
    const add = root.querySelector("[data-add-corner]");
    add.hidden = !field("corners");
    add.addEventListener("click", () => {
      this.shape.addCorner();
      this.redraw();
    });
    document.querySelector(".venue-form").addEventListener("input", () => this.redraw());
    this.redraw();
  }

  redraw() {
    const focused = document.activeElement?.dataset?.handle;
    this.shape.draw(this.plan, this.section);
    this.show(this.plan, this.shape.planHandles());
    this.show(this.section, this.shape.sectionHandles());
    if (focused) document.querySelector(`[data-handle="${focused}"]`)?.focus();
  }

  show(drawing, handles) {
    // Nodes are kept while their number stays, so that a drag keeps its pointer.
    while (drawing.handles.children.length > handles.length) drawing.handles.lastChild.remove();
    while (drawing.handles.children.length < handles.length) this.node(drawing);
    const middle = handles.reduce((sum, { at }) => sum + drawing.place(at)[0], 0) / handles.length;
    handles.forEach((handle, n) => {
      const node = drawing.handles.children[n];
      node.handle = handle;
      const [x, y] = drawing.place(handle.at);
      // Words stand outside of the area, but never beyond the drawing's edge.
      const right = x < 170 || (x <= 470 && (handles.length === 1 || x >= middle));
      node.setAttribute("transform", `translate(${x.toFixed(1)} ${y.toFixed(1)})`);
      node.setAttribute("aria-label", `${handle.name}: ${handle.words(handle.at)}`);
      node.setAttribute("class", handle.upOnly ? "handle handle-up" : "handle");
      node.querySelector("text").textContent = handle.words(handle.at);
      node.querySelector("text").setAttribute("x", right ? 14 : -14);
      node.querySelector("text").setAttribute("text-anchor", right ? "start" : "end");
    });
  }

  node(drawing) {
    const index = drawing.handles.children.length;
    const node = drawn("g", { tabindex: 0, role: "button" }, drawing.handles);
    node.dataset.handle = `${drawing.svg.dataset.drawing}-${index}`;
    drawn("circle", { class: "reach", r: 24 }, node);
    drawn("circle", { r: 8 }, node);
    drawn("text", { y: 5 }, node);
    node.addEventListener("pointerdown", (event) => this.grab(drawing, node, event));
    // touch-action is not heeded inside of a drawing everywhere: a finger would scroll the page.
    node.addEventListener("touchstart", (event) => event.preventDefault(), { passive: false });
    node.addEventListener("keydown", (event) => this.press(node, event));
  }

  grab(drawing, node, event) {
    if (event.button) return;
    event.preventDefault();
    node.focus();
    node.setPointerCapture(event.pointerId);
    const move = (moved) => this.move(node, drawing.metres(moved).map(snapped));
    const stop = () => {
      node.removeEventListener("pointermove", move);
      this.say(node);
    };
    node.addEventListener("pointermove", move);
    node.addEventListener("lostpointercapture", stop, { once: true });
  }

  press(node, event) {
    const arrow = ARROWS[event.key];
    if (arrow) {
      event.preventDefault();
      const step = event.shiftKey ? LONG_STEP_M : STEP_M;
      this.move(node, node.handle.at.map((metres, n) => snapped(metres + arrow[n] * step)));
      this.say(node);
    } else if (event.key === "Delete" && node.handle.remove) {
      node.handle.remove();
      this.redraw();
    }
  }

  move(node, at) {
    node.handle.move(node.handle.upOnly ? [node.handle.at[0], at[1]] : at);
    this.redraw();
  }

  say(node) {
    this.said.textContent = node.getAttribute("aria-label");
  }
}

for (const root of document.querySelectorAll("[data-drag]")) new Board(root);
