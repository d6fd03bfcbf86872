// Records raw samples from an input of this device and sends them with the form as a WAV file.
// Without it the page still takes files.

const AFTER_S = 1; // goes on recording after a signal has ended

const form = document.getElementById("recording-form");
const panel = document.getElementById("recorder");
const part = (name) => panel.querySelector(`[data-${name}]`);
const choice = (name) => document.getElementById(`recorder-${name}`);
const audio = choice("audio");
const { FULL, RUN, canListen, closeInput, decibels, doubts, inWords, levelWords, nameInputs, openInput, told } =
  await import(panel.dataset.microphone);

let input = null; // { context, stream, rate, channels, settings }
let take = null; // { blocks, frames, peak, power, clips, limit, running }

const say = (text) => { part("said").textContent = text; };
const complain = (text) => { part("trouble").textContent = text; };
const field = (name) => form.querySelector(`[name=${name}]`);

panel.hidden = false;
document.getElementById("recorder-without").hidden = true;
if (!canListen()) {
  part("open").disabled = true;
  complain(
    "This browser records only on a secure page. Open this site by its https address, or record " +
    "with any other program and choose the file above.",
  );
}

async function open() {
  complain("");
  close();
  input = await openInput({
    device: choice("input").value,
    channels: Number(choice("channels").value),
    worklet: panel.dataset.worklet,
    heard,
  });
  input.track.addEventListener("ended", lost);
  await nameInputs(choice("input"), input.settings.deviceId);
  part("meter").hidden = false;
  part("record").disabled = false;
  say(`The input is open: ${input.rate} Hz. ${doubts(input.settings)}`);
}

function close() {
  stop();
  if (!input) return;
  closeInput(input);
  input = null;
  part("record").disabled = true;
  part("meter").hidden = true;
}

function lost() {
  close();
  complain("The input was lost. Plug it in and open it again; a recording that ran was stopped there.");
}

function heard(block) {
  if (!input) return;
  let peak = 0;
  for (const sample of block) peak = Math.max(peak, Math.abs(sample));
  choice("meter").value = peak > 0 ? Math.max(-60, decibels(peak)) : -60;
  part("level").textContent = levelWords(peak);
  if (take?.running) keepBlock(block);
}

function keepBlock(block) {
  const channels = input.channels;
  const wanted = Math.ceil(take.limit * input.rate) - take.frames;
  const wantedPart = block.length > wanted * channels ? block.slice(0, wanted * channels) : block;
  for (let i = 0; i < wantedPart.length; i += 1) {
    const size = Math.abs(wantedPart[i]);
    take.peak = Math.max(take.peak, size);
    take.power += size * size;
    const channel = i % channels;
    take.full[channel] = size >= FULL ? take.full[channel] + 1 : 0;
    if (take.full[channel] === RUN) take.clips += 1;
  }
  take.blocks.push(wantedPart);
  take.frames += wantedPart.length / channels;
  if (take.clips) part("clip").textContent = "It clips: turn the input down, then record again.";
  const seconds = take.frames / input.rate;
  part("time").textContent = `${seconds.toFixed(1)} s of ${take.limit.toFixed(0)} s`;
  if (seconds >= take.limit) stop();
}

async function record() {
  complain("");
  part("clip").textContent = "";
  const signal = choice("play").checked ? chosenSignal() : null;
  if (choice("play").checked && !signal) {
    complain("No test signal is chosen. Choose one by “played from here”, or take the tick away.");
    return;
  }
  await input.context.resume();
  forgetFile();
  const limit = signal ? signal.seconds + AFTER_S : Number(choice("limit").value);
  take = {
    blocks: [], frames: 0, peak: 0, power: 0, clips: 0, full: new Array(input.channels).fill(0),
    limit, running: true, rate: input.rate, channels: input.channels, captured: told(input.settings),
  };
  part("stop").disabled = false;
  part("record").disabled = true;
  say(signal ? "Recording, and playing the signal." : "Recording.");
  if (signal) await play(signal.url);
}

function chosenSignal() {
  const key = field("signal").value;
  const found = [...document.querySelectorAll("#recorder-signals li")].find((each) => each.dataset.key === key);
  return found ? { url: found.dataset.url, seconds: Number(found.dataset.seconds) } : null;
}

async function play(url) {
  audio.src = url;
  try {
    await audio.play();
  } catch {
    stop();
    take = null;
    complain("The signal can't be played on this device. Play it from another one, or download it.");
  }
}

function stop() {
  audio.pause();
  if (!take?.running) return;
  take.running = false;
  part("stop").disabled = true;
  part("record").disabled = !input;
  const rms = Math.sqrt(take.power / Math.max(1, take.frames * take.channels));
  if (!take.frames) {
    take = null;
    complain("Nothing came from the input. Open it again.");
    return;
  }
  say(
    `Recorded ${(take.frames / take.rate).toFixed(1)} s: loudest sample ${levelWords(take.peak)}, ` +
    `rms ${levelWords(rms)} of full scale. Keep it, or record again.`,
  );
}

function forgetFile() {
  field("sound").value = "";
  field("waiting").value = "";
}

// 32-bit float samples as they were, in blocks, behind a header of 12 + 24 + 12 + 8 bytes.
function waveFile() {
  const size = take.frames * take.channels * 4;
  const header = new DataView(new ArrayBuffer(56));
  const word = (at, text) => [...text].forEach((c, i) => header.setUint8(at + i, c.charCodeAt(0)));
  word(0, "RIFF");
  header.setUint32(4, 48 + size, true);
  word(8, "WAVEfmt ");
  header.setUint32(16, 16, true);
  header.setUint16(20, 3, true);
  header.setUint16(22, take.channels, true);
  header.setUint32(24, take.rate, true);
  header.setUint32(28, take.rate * take.channels * 4, true);
  header.setUint16(32, take.channels * 4, true);
  header.setUint16(34, 32, true);
  word(36, "fact");
  header.setUint32(40, 4, true);
  header.setUint32(44, take.frames, true);
  word(48, "data");
  header.setUint32(52, size, true);
  return new File([header.buffer, ...take.blocks], "recorded here.wav", { type: "audio/wav" });
}

async function send() {
  const body = new FormData(form);
  body.set("captured", take.captured);
  if (!field("waiting").value) body.set("sound", waveFile());
  const keep = form.querySelector("[data-keep]");
  keep.disabled = true;
  say("Sending ...");
  try {
    let answer = await post(body);
    if (answer.status === 403) {
      body.set("csrfmiddlewaretoken", await freshToken());
      answer = await post(body);
    }
    await answered(answer);
  } catch {
    complain("It could not be sent. The recording is still here: try again when you are online.");
    say("");
  } finally {
    keep.disabled = false;
  }
}

function post(body) {
  const headers = { "HX-Request": "true", "HX-Current-URL": location.href };
  return fetch(form.action, { method: "POST", body, headers });
}

// Who signed out and in again meanwhile has another token than this page.
async function freshToken() {
  const page = new DOMParser().parseFromString(await (await fetch(location.href)).text(), "text/html");
  return page.querySelector("#recording-form [name=csrfmiddlewaretoken]")?.value ?? "";
}

async function answered(answer) {
  const next = answer.headers.get("HX-Redirect");
  if (next?.startsWith("/sign-in/")) {
    complain("You were signed out. Sign in again in another tab, then keep the recording here.");
    return;
  }
  if (next) {
    location.assign(next);
    return;
  }
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  const fresh = page.getElementById("recording-fields");
  if (!fresh) {
    complain("The site refused it. Load this page in another tab to see why; the recording is still here.");
    return;
  }
  document.getElementById("recording-fields").replaceWith(document.importNode(fresh, true));
  say("Not kept yet: see above. The recording is still here.");
  form.scrollIntoView();
}

part("open").addEventListener("click", () => {
  open().catch((fault) => {
    close();
    complain(inWords(fault));
  });
});
part("record").addEventListener("click", record);
part("stop").addEventListener("click", stop);
choice("input").addEventListener("change", () => { if (input) part("open").click(); });
choice("channels").addEventListener("change", () => { if (input) part("open").click(); });
form.addEventListener("change", (event) => {
  if (event.target.name !== "sound") return;
  take = null;
  field("waiting").value = "";
  field("captured").value = "";
  say("");
});
form.addEventListener("submit", (event) => {
  if (!take) return;
  event.preventDefault();
  stop();
  if (take) send();
});
window.addEventListener("beforeunload", (event) => {
  if (take?.running) event.preventDefault();
});
