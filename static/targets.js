// Points of a target curve are dragged on paper. The field of lines stays the only store: a handle
// writes there, and whatever is typed there moves the handle. Without this script the field does.

const STEP_DB = 0.5;
const LONG_STEP_DB = 3;
const STEP_OCTAVES = 1 / 12;
const LONG_STEP_OCTAVES = 1 / 3;
const SVG = "http://www.w3.org/2000/svg";
const NUMBER = /^[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d{1,3})?$/i;
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

const held = (value, low, high) => Math.min(Math.max(value, low), high);
const snappedLevel = (db) => Math.round(db / STEP_DB) * STEP_DB || 0;

// Frequencies are dragged to two figures: 950, 1000, 1100 Hz. `fine` is the step at a frequency.
const fine = (hz) => 10 ** (Math.floor(Math.log10(hz) + 1e-9) - 1);
const snapped = (hz) => Math.round(hz / fine(hz)) * fine(hz);
const nextAbove = (hz) => (Math.floor(hz / fine(hz) + 1e-9) + 1) * fine(hz);
const nextBelow = (hz) => (Math.ceil(hz / fine(hz * 0.999) - 1e-9) - 1) * fine(hz * 0.999);

const toldHz = (hz) => (hz >= 1000 ? `${+(hz / 1000).toPrecision(4)} kHz` : `${+hz.toPrecision(4)} Hz`);
const toldDb = (db) => `${db < 0 ? "\u2212" : "+"}${Math.abs(+db.toFixed(2))} dB`;

function drawn(tag, attributes, parent) {
  const node = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  parent.append(node);
  return node;
}

// The lines of the field: which are points, and what is wrong with the first that is none.
class Lines {
  constructor(area, limits) {
    Object.assign(this, { area, limits });
  }

  points() {
    return this.area.value
      .split("\n")
      .map((text, line) => ({ line, cells: text.split(/[\s,;]+/).filter(Boolean) }))
      .filter(({ cells }) => cells.length === 2 && cells.every((cell) => NUMBER.test(cell)))
      .map(({ line, cells }) => ({ line, hz: +cells[0], db: +cells[1] }));
  }

  fault() {
    const { lowHz, highHz, mostDb, mostPoints } = this.limits;
    const points = this.points();
    const isPoint = new Set(points.map(({ line }) => line));
    const odd = this.area.value.split("\n").findIndex((text, n) => text.trim() && !isPoint.has(n));
    const far = points.find(({ hz }) => !(hz >= lowHz && hz <= highHz));
    const steep = points.find(({ db }) => Math.abs(db) > mostDb);
    const back = points.find(({ hz }, n) => n && hz <= points[n - 1].hz);
    if (odd >= 0) return `Line ${odd + 1}: write Hz and dB, as in 1000, 0.`;
    if (far) return `Line ${far.line + 1}: a frequency lies from ${lowHz} to ${highHz} Hz.`;
    if (steep) return `Line ${steep.line + 1}: a level lies within ${mostDb} dB of 0.`;
    if (back) return `Line ${back.line + 1}: frequencies must rise.`;
    if (points.length > mostPoints) return `At most ${mostPoints} points; this has ${points.length}.`;
    return "";
  }

  splice(line, gone, ...texts) {
    const lines = this.area.value.split("\n");
    lines.splice(line, gone, ...texts);
    this.area.value = lines.join("\n");
  }

  write(line, hz, db) {
    this.splice(line, 1, `${+hz.toPrecision(6)}, ${+db.toPrecision(6)}`);
  }

  // Where a frequency may go without passing the points beside it.
  room(n) {
    const points = this.points();
    const low = n > 0 ? nextAbove(points[n - 1].hz) : this.limits.lowHz;
    const high = n < points.length - 1 ? nextBelow(points[n + 1].hz) : this.limits.highHz;
    return [Math.max(low, this.limits.lowHz), Math.min(high, this.limits.highHz)];
  }

  // Between its neighbours in order; returns which one it became, or -1 where it has no room.
  add(hz, db) {
    const points = this.points();
    if (points.length >= this.limits.mostPoints || points.some((each) => each.hz === hz)) return -1;
    const after = points.findIndex((each) => each.hz > hz);
    const text = `${+hz.toPrecision(6)}, ${+db.toPrecision(6)}`;
    if (!points.length) this.area.value = text;
    else if (after >= 0) this.splice(points[after].line, 0, text);
    else this.splice(points.at(-1).line + 1, 0, text);
    return after < 0 ? points.length : after;
  }

  level(hz) {
    const points = this.points();
    const after = points.findIndex((each) => each.hz >= hz);
    if (!points.length) return 0;
    if (after <= 0) return (after ? points.at(-1) : points[0]).db;
    const [one, two] = [points[after - 1], points[after]];
    const share = Math.log(hz / one.hz) / Math.log(two.hz / one.hz);
    return one.db + share * (two.db - one.db);
  }

  // The middle of the widest gap within what is usually heard.
  gap() {
    const points = this.points();
    if (!points.length) return 1000;
    const ends = [Math.min(20, points[0].hz), ...points.map(({ hz }) => hz)];
    ends.push(Math.max(20_000, points.at(-1).hz));
    const gaps = ends.slice(1).map((high, n) => ({ wide: high / ends[n], middle: Math.sqrt(high * ends[n]) }));
    return snapped(gaps.reduce((best, each) => (each.wide > best.wide ? each : best)).middle);
  }
}

// One drawing: where Hz and dB lie on it. `data-` attributes come from the server's own paper.
class Paper {
  constructor(root, limits) {
    this.name = root.dataset.board;
    this.limits = limits;
    for (const side of ["left", "right", "top", "bottom"]) this[side] = +root.dataset[side];
    this.svg = root.querySelector("svg");
    this.line = this.svg.querySelector(".aim");
    for (const dot of this.svg.querySelectorAll(".aim-point")) dot.remove();
    // Handles inside of an image would be hidden from a screen reader.
    this.svg.setAttribute("role", "group");
    this.svg.querySelector("desc")?.remove();
    this.handles = drawn("g", {}, this.svg);
  }

  place(hz, db) {
    const { lowHz, highHz, mostDb } = this.limits;
    const x = this.left + (Math.log(hz / lowHz) / Math.log(highHz / lowHz)) * (this.right - this.left);
    return [x, this.top + ((mostDb - held(db, -mostDb, mostDb)) / (2 * mostDb)) * (this.bottom - this.top)];
  }

  heard(event) {
    const { lowHz, highHz, mostDb } = this.limits;
    const spot = new DOMPoint(event.clientX, event.clientY).matrixTransform(
      this.svg.getScreenCTM().inverse(),
    );
    const across = (spot.x - this.left) / (this.right - this.left);
    const down = (spot.y - this.top) / (this.bottom - this.top);
    return [lowHz * (highHz / lowHz) ** across, mostDb - 2 * mostDb * down];
  }

  draw(points) {
    const { lowHz, highHz } = this.limits;
    const rising = points.filter(({ hz }) => hz >= lowHz && hz <= highHz);
    const ends = rising.length ? [[lowHz, rising[0].db], [highHz, rising.at(-1).db]] : [];
    const route = [ends[0], ...rising.map(({ hz, db }) => [hz, db]), ends[1]].filter(Boolean);
    const places = route.map(([hz, db]) => this.place(hz, db).map((at) => at.toFixed(1)).join());
    this.line.setAttribute("points", places.join(" "));
  }
}

class Board {
  constructor(root) {
    const { lowHz, highHz, mostDb, mostPoints } = root.dataset;
    this.limits = { lowHz: +lowHz, highHz: +highHz, mostDb: +mostDb, mostPoints: +mostPoints };
    this.lines = new Lines(document.getElementById("id_table"), this.limits);
    this.papers = [...root.querySelectorAll("[data-board]")].map((each) => new Paper(each, this.limits));
    this.chosen = -1;
    this.find = (name) => root.querySelector(`[data-${name}]`);
    for (const tool of root.querySelectorAll("[data-tools]")) tool.hidden = false;
    this.find("add").addEventListener("click", () => this.addMiddle());
    this.find("remove").addEventListener("click", () => this.remove(this.chosen));
    for (const paper of this.papers) {
      paper.svg.addEventListener("dblclick", (event) => this.addAt(paper, event));
    }
    this.lines.area.addEventListener("input", () => this.redraw());
    this.redraw();
  }

  redraw() {
    const points = this.lines.points();
    const fault = this.lines.fault();
    if (this.chosen >= points.length) this.chosen = -1;
    for (const paper of this.papers) {
      paper.draw(points);
      this.show(paper, points);
    }
    const point = points[this.chosen];
    this.find("chosen").textContent = point ? `${toldHz(point.hz)}, ${toldDb(point.db)}` : "";
    this.find("remove").disabled = !point;
    this.find("add").disabled = points.length >= this.limits.mostPoints;
    this.find("fault").hidden = !fault;
    if (this.find("fault").textContent !== fault) this.find("fault").textContent = fault;
  }

  show(paper, points) {
    // Nodes are kept while their number stays, so that a drag keeps its pointer.
    const nodes = paper.handles.children;
    while (nodes.length > points.length) paper.handles.lastChild.remove();
    while (nodes.length < points.length) this.node(paper, nodes.length);
    points.forEach(({ hz, db }, n) => {
      const [x, y] = paper.place(held(hz, this.limits.lowHz, this.limits.highHz), db);
      nodes[n].setAttribute("transform", `translate(${x.toFixed(1)} ${y.toFixed(1)})`);
      nodes[n].setAttribute("aria-label", `Point ${n + 1}: ${toldHz(hz)}, ${toldDb(db)}`);
      nodes[n].setAttribute("class", n === this.chosen ? "handle handle-chosen" : "handle");
    });
  }

  node(paper, n) {
    const node = drawn("g", { tabindex: 0, role: "button" }, paper.handles);
    node.dataset.handle = `${paper.name}-${n}`;
    drawn("circle", { class: "reach", r: 24 }, node);
    drawn("circle", { r: 8 }, node);
    node.addEventListener("pointerdown", (event) => this.grab(paper, node, n, event));
    // touch-action is not heeded inside of a drawing everywhere: a finger would scroll the page.
    node.addEventListener("touchstart", (event) => event.preventDefault(), { passive: false });
    node.addEventListener("keydown", (event) => this.press(n, event));
    node.addEventListener("focus", () => this.choose(n));
  }

  choose(n) {
    if (this.chosen === n) return;
    this.chosen = n;
    this.redraw();
  }

  grab(paper, node, n, event) {
    if (event.button) return;
    event.preventDefault();
    node.focus();
    node.setPointerCapture(event.pointerId);
    // What was taken beside the point's middle stays beside it: a tap moves nothing.
    const point = this.lines.points()[n];
    const [hz, db] = paper.heard(event);
    const off = [point.hz / hz, point.db - db];
    const move = (moved) => {
      if (Math.hypot(moved.clientX - event.clientX, moved.clientY - event.clientY) < 3) return;
      const [nowHz, nowDb] = paper.heard(moved);
      this.move(n, snapped(nowHz * off[0]), snappedLevel(nowDb + off[1]));
    };
    const stop = () => {
      node.removeEventListener("pointermove", move);
      this.say(n);
    };
    node.addEventListener("pointermove", move);
    node.addEventListener("lostpointercapture", stop, { once: true });
  }

  press(n, event) {
    const arrow = ARROWS[event.key];
    if (event.key === "Delete") this.remove(n);
    if (!arrow) return;
    event.preventDefault();
    const { hz, db } = this.lines.points()[n];
    const octaves = event.shiftKey ? LONG_STEP_OCTAVES : STEP_OCTAVES;
    const step = event.shiftKey ? LONG_STEP_DB : STEP_DB;
    const nextHz = arrow[0] ? snapped(hz * 2 ** (arrow[0] * octaves)) : hz;
    this.move(n, nextHz, arrow[1] ? db + arrow[1] * step : db);
    this.say(n);
  }

  move(n, hz, db) {
    const point = this.lines.points()[n];
    const [low, high] = this.lines.room(n);
    const kept = hz === point.hz || low > high ? point.hz : held(hz, low, high);
    this.lines.write(point.line, kept, held(db, -this.limits.mostDb, this.limits.mostDb));
    this.redraw();
  }

  addMiddle() {
    const hz = this.lines.gap();
    this.added(this.lines.add(hz, snappedLevel(this.lines.level(hz))));
  }

  addAt(paper, event) {
    if (event.target.closest(".handle")) return;
    const [hz, db] = paper.heard(event);
    const { lowHz, highHz, mostDb } = this.limits;
    if (hz < lowHz || hz > highHz || Math.abs(db) > mostDb) return;
    this.added(this.lines.add(held(snapped(hz), lowHz, highHz), snappedLevel(db)));
  }

  added(n) {
    if (n < 0) return;
    this.chosen = n;
    this.redraw();
    this.focus(n);
    this.say(n);
  }

  remove(n) {
    const points = this.lines.points();
    if (!points[n]) return;
    this.lines.splice(points[n].line, 1);
    this.chosen = Math.min(n, points.length - 2);
    this.redraw();
    this.focus(this.chosen);
    this.find("said").textContent = `Removed the point at ${toldHz(points[n].hz)}.`;
  }

  focus(n) {
    for (const paper of this.papers) {
      if (paper.svg.checkVisibility()) paper.handles.children[n]?.focus();
    }
    if (n < 0) this.find("add").focus();
  }

  say(n) {
    this.find("said").textContent = this.papers[0].handles.children[n]?.getAttribute("aria-label") ?? "";
  }
}

for (const root of document.querySelectorAll("[data-target]")) new Board(root);
