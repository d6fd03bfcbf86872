// Listens for feedback: raw samples of this device's microphone go to the site three times a
// second, and the tones that it calls stand here, each one tap from a notch on the sheet.

const MOST_S = 2; // more that waits to be sent is too old to warn of anything
const LEAST_S = 0.1;
const EVERY_MS = 300;
const INNER_HZ = 22050; // higher rates are thinned out: nothing rings above 10 kHz
const SLOW_MS = 1500;
const LOST_MS = 2500;
const CLIP_MS = 2000;
const SAME_HZ = 5; // as the site tells tones apart
const STEADY = 4; // answers in a row: what stands out so long is shown
const SHOWN_MS = 4000; // and stays so long, so that a thumb can meet it
const MOST_KNOWN = 24;

const panel = document.getElementById("listening");
const part = (name, within = panel) => within.querySelector(`[data-${name}]`);
const choice = (name) => document.getElementById(`listening-${name}`);
const { FULL, RUN, canListen, closeInput, decibels, doubts, inWords, levelWords, nameInputs, openInput } =
  await import(panel.dataset.microphone);

// Text that did not change is not written again: it would be read aloud again.
const write = (node, text) => { if (node.textContent !== text) node.textContent = text; };
const say = (text) => write(part("said"), text);
const complain = (text) => write(part("trouble"), text);
const toldHz = (hz) => `${hz} Hz`;

// Every so-manieth sample of what a low-pass leaves: a sinc under a raised cosine.
class Thinner {
  constructor(rate) {
    this.factor = Math.max(1, Math.floor(rate / INNER_HZ));
    this.rate = Math.round(rate / this.factor);
    const half = 32 * this.factor;
    this.taps = Float32Array.from({ length: 2 * half + 1 }, (_, at) => {
      const x = (0.9 * (at - half)) / this.factor;
      const sinc = x ? Math.sin(Math.PI * x) / (Math.PI * x) : 1;
      return ((0.9 / this.factor) * sinc * (1 + Math.cos((Math.PI * (at - half)) / (half + 1)))) / 2;
    });
    this.before = new Float32Array(2 * half);
    this.skip = 0;
  }

  take(block) {
    if (this.factor === 1) return block;
    const row = new Float32Array(this.before.length + block.length);
    row.set(this.before);
    row.set(block, this.before.length);
    const kept = [];
    let at = this.skip;
    for (; at < block.length; at += this.factor) {
      let sum = 0;
      for (let tap = 0; tap < this.taps.length; tap += 1) sum += this.taps[tap] * row[at + tap];
      kept.push(sum);
    }
    this.skip = at - block.length;
    this.before = row.slice(block.length);
    return Float32Array.from(kept);
  }
}

// What waits to be sent, as the site reads it: 16 bits, low byte first. The site names the ear that
// has heard all before it; where sound is dropped a new one begins.
class Unsent {
  constructor(rate) {
    this.rate = rate;
    this.gaps = 0;
    this.forget();
  }

  forget() {
    this.gaps += 1;
    this.row = new Int16Array(0);
    this.ear = "";
  }

  add(samples) {
    const all = new Int16Array(this.row.length + samples.length);
    all.set(this.row);
    samples.forEach((value, at) => {
      all[this.row.length + at] = Math.max(-32768, Math.min(32767, Math.round(value * 32768)));
    });
    this.row = all;
    if (this.seconds > MOST_S) this.forget();
  }

  taken(count, ear) {
    this.row = this.row.slice(count);
    this.ear = ear;
  }

  get seconds() {
    return this.row.length / this.rate;
  }
}

let input = null;
let thinner = null;
let unsent = null;
let full = 0; // samples in a row at full scale
let clippedAt = -Infinity;
let asked = 0; // when the answer that is waited for was asked for; 0: none is
let timer = 0;
let awake = null;
const tones = []; // { hz, node, sounds }
const standing = { hz: 0, times: 0, shownAt: -Infinity, shown: 0 };

panel.hidden = false;
document.getElementById("listening-without").hidden = true;
if (!canListen()) {
  part("listen").disabled = true;
  complain(
    "This browser listens only on a secure page. Open this site by its https address, or record " +
    "with any other program, add the recording and listen through it on its own page.",
  );
}

async function start() {
  complain("");
  stop();
  const opened = await openInput({
    device: choice("input").value, channels: 1, worklet: panel.dataset.worklet, heard,
  });
  input = opened;
  thinner = new Thinner(input.rate);
  unsent = new Unsent(thinner.rate);
  input.track.addEventListener("ended", () => {
    if (input !== opened) return;
    stop();
    complain("The input was lost: nothing is listened to. Plug it in and listen again.");
  });
  await nameInputs(choice("input"), input.settings.deviceId);
  part("meter").hidden = false;
  part("listen").disabled = true;
  part("stop").disabled = false;
  say(`Listening. ${doubts(input.settings)}`);
  part("toolbar").scrollIntoView(); // what comes up shall stand on the screen, not below it
  timer = setInterval(tick, EVERY_MS);
  awake = (await navigator.wakeLock?.request("screen").catch(() => null)) ?? null;
}

function stop() {
  clearInterval(timer);
  awake?.release();
  awake = null;
  if (!input) return;
  closeInput(input);
  input = null;
  part("meter").hidden = true;
  part("listen").disabled = false;
  part("stop").disabled = true;
  for (const tone of tones) hush(tone);
  write(part("alarm"), "");
  say("Not listening.");
}

function heard(block) {
  if (!unsent) return;
  let peak = 0;
  for (const sample of block) {
    const size = Math.abs(sample);
    peak = Math.max(peak, size);
    full = size >= FULL ? full + 1 : 0;
    if (full >= RUN) clippedAt = performance.now();
  }
  choice("meter").value = peak > 0 ? Math.max(-60, decibels(peak)) : -60;
  part("level").textContent = levelWords(peak);
  unsent.add(thinner.take(block));
}

function tick() {
  const now = performance.now();
  if (document.hidden) {
    unsent.forget();
    say("Not listening while another page is in front.");
  } else if (asked) {
    if (now - asked > LOST_MS) lost();
  } else if (unsent.seconds >= LEAST_S) {
    ask(now);
  }
}

function lost() {
  complain("No connection: nothing is listened to now. Trust your ears, hand on the master.");
}

async function ask(now) {
  asked = now;
  const known = tones.slice(0, MOST_KNOWN).map((tone) => tone.hz).join(",");
  const waiting = unsent;
  const { row, ear, rate, gaps } = waiting;
  const query = new URLSearchParams({ rate, known, ear });
  try {
    const answer = await post(`${panel.dataset.heard}?${query}`, row, "application/octet-stream");
    if (!input) return;
    if (answer.ok && waiting.gaps === gaps) waiting.taken(row.length, answer.told.ear);
    if (!answer.ok) complain(answer.says);
    else show(answer.told, performance.now() - now);
  } catch {
    if (input) lost();
  } finally {
    asked = 0;
  }
}

async function post(url, body, type) {
  const token = part("listen").closest("section").querySelector("[name=csrfmiddlewaretoken]").value;
  const headers = { "X-CSRFToken": token, "HX-Request": "true", "HX-Current-URL": location.href };
  if (type) headers["Content-Type"] = type;
  const answer = await fetch(url, { method: "POST", body, headers, signal: AbortSignal.timeout(10_000) });
  const told = answer.headers.get("Content-Type")?.startsWith("application/json") ? await answer.json() : null;
  const signedOut = answer.headers.has("HX-Redirect");
  const refused = signedOut
    ? "You were signed out: nothing is listened to. Load this page anew and sign in."
    : "The site refused it: nothing is listened to. Load this page anew.";
  return { ok: answer.ok && told !== null, told, says: told?.says ?? refused };
}

function show(told, took) {
  if (performance.now() - clippedAt < CLIP_MS) {
    complain("It clips: too loud for this device. Turn down, or go further from the loudspeaker.");
  } else if (told.silent) {
    complain("It hears nothing. Is the microphone covered, muted, or another one chosen?");
  } else if (took > SLOW_MS) {
    complain("The connection is slow: what stands here is seconds old. Raise slower.");
  } else {
    complain("");
  }
  say("Listening.");
  const now = performance.now();
  // The worst comes last and so to the top.
  for (const each of [...told.tones].reverse()) update(each, now);
  const loudest = told.tones.find((each) => each.sounds);
  if (!loudest) write(part("alarm"), "");
  showStanding(told, now);
}

const nearest = (hz) => tones
  .filter((tone) => Math.abs(tone.hz - hz) < SAME_HZ)
  .sort((a, b) => Math.abs(a.hz - hz) - Math.abs(b.hz - hz))[0];

function update(each, now) {
  let tone = nearest(each.hz);
  if (!tone) {
    tone = { hz: each.hz, sounds: false, placed: false, since: now, node: item() };
    tones.unshift(tone);
    tones.splice(MOST_KNOWN).forEach((old) => old.node.remove());
    wire(tone.node, () => tone.hz, () => { tone.placed = true; });
    part("none").hidden = true;
    part("clear").disabled = false;
  }
  if (each.sounds && !tone.sounds) begin(tone, each, now);
  if (!each.sounds) hush(tone);
  if (!tone.placed && each.growth_db_per_s) tone.hz = each.hz;
  write(part("hz", tone.node), toldHz(tone.hz));
  if (tone.sounds) {
    const since = Math.max(0, (now - tone.since) / 1000).toFixed(0);
    write(part("now", tone.node), `Sounds now, ${each.level_db} dB of full scale, for ${since} s${tone.grew}.`);
  }
  write(part("caught", tone.node), tone.placed ? "" : each.notch ?? "");
  part("place", tone.node).hidden = Boolean(each.notch) || tone.placed;
}

function begin(tone, each, now) {
  tone.sounds = true;
  tone.since = now - 1000 * (each.since_s ?? 0);
  tone.grew = each.growth_db_per_s ? `, grew by ${each.growth_db_per_s} dB a second` : "";
  tone.node.dataset.state = "fails";
  const list = part("tones");
  if (!tone.node.contains(document.activeElement)) list.prepend(tone.node);
  write(part("alarm"), `${toldHz(each.hz)} comes up: turn down.`);
}

function hush(tone) {
  tone.sounds = false;
  delete tone.node.dataset.state;
  write(part("now", tone.node), "Stopped.");
}

function item() {
  const node = part("tone").content.firstElementChild.cloneNode(true);
  part("tones").prepend(node);
  return node;
}

// What stands out for a while without being called: shown, so that ears can judge.
function showStanding(told, now) {
  const hz = told.silent ? null : told.stands_out;
  const card = part("standing");
  standing.times = hz !== null && Math.abs(hz - standing.hz) < SAME_HZ ? standing.times + 1 : 1;
  standing.hz = hz ?? 0;
  if (now - standing.shownAt < SHOWN_MS) return;
  const fresh = hz !== null && standing.times >= STEADY && !nearest(hz);
  card.hidden = !fresh;
  if (!fresh) return;
  standing.shownAt = now;
  if (Math.abs(hz - standing.shown) >= SAME_HZ) {
    write(part("words", card), "");
    part("place", card).hidden = false;
    part("reserve", card).hidden = true;
  }
  standing.shown = hz;
  write(part("hz", card), toldHz(hz));
}

function wire(node, hz, done) {
  const place = async (reserve) => {
    const buttons = [part("place", node), part("reserve", node)];
    for (const button of buttons) button.disabled = true;
    try {
      const body = new FormData();
      body.set("frequency_hz", hz());
      body.set("microphone", choice("microphone").value);
      if (reserve) body.set("from_reserve", "on");
      const answer = await post(panel.dataset.notch, body);
      placed(node, answer, done);
    } catch {
      write(part("words", node), "Not placed: no connection. Try again.");
    } finally {
      for (const button of buttons) button.disabled = false;
    }
  };
  part("place", node).addEventListener("click", () => place(false));
  part("reserve", node).addEventListener("click", () => place(true));
}

function placed(node, answer, done) {
  const told = answer.told ?? {};
  write(part("words", node), answer.ok && told.placed ? told.says : `Not placed. ${answer.says}`);
  part("reserve", node).hidden = !told.reserve;
  if (told.sheet) write(choice("sheet"), told.sheet);
  if (!told.placed) return;
  part("place", node).hidden = true;
  done();
}

function clear() {
  for (const tone of tones.splice(0)) tone.node.remove();
  if (unsent) unsent.forget();
  part("none").hidden = false;
  part("clear").disabled = true;
  write(part("alarm"), "");
}

const listen = () => start().catch((fault) => {
  stop();
  complain(inWords(fault));
});
part("listen").addEventListener("click", listen);
part("stop").addEventListener("click", stop);
part("clear").addEventListener("click", clear);
choice("input").addEventListener("change", () => { if (input) listen(); });
wire(part("standing"), () => standing.shown, () => {});
