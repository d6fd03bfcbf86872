// Listens with this device while the gain is raised: sends the last seconds of sound twice a
// second and shows which tones grow. Without it a recording can still be listened through.

const CHANGES = { echoCancellation: "echo cancelling", noiseSuppression: "noise suppression", autoGainControl: "automatic gain" };
const KEPT_S = 3;
const EVERY_MS = 500;
const SLOW_MS = 1500;
const LATE_MS = 4000;

const panel = document.getElementById("listening");
const part = (name) => panel.querySelector(`[data-${name}]`);
const say = (text) => { part("said").textContent = text; };
const complain = (text) => { part("trouble").textContent = text; };

let input = null; // { context, stream, rate }
let kept = [];
let frames = 0;
let sending = false;
let timer = 0;

panel.hidden = false;
document.getElementById("listening-without").hidden = true;
if (!window.isSecureContext || !navigator.mediaDevices || !window.AudioWorkletNode) {
  part("start").disabled = true;
  complain("This browser listens only on a secure page. Open this site by its https address.");
}

async function start() {
  complain("");
  const stream = await navigator.mediaDevices.getUserMedia({
    audio: { echoCancellation: false, noiseSuppression: false, autoGainControl: false, channelCount: { ideal: 1 } },
  });
  const track = stream.getAudioTracks()[0];
  const on = Object.keys(CHANGES).filter((name) => track.getSettings()[name]);
  const context = new AudioContext();
  try {
    if (on.length) {
      throw new Error(`The browser keeps ${on.map((name) => CHANGES[name]).join(" and ")} on: it would eat the tones. Use another browser.`);
    }
    await context.audioWorklet.addModule(panel.dataset.worklet);
    const taker = new AudioWorkletNode(context, "taker", {
      channelCount: 1, channelCountMode: "explicit", channelInterpretation: "discrete", processorOptions: { channels: 1 },
    });
    taker.port.addEventListener("message", (event) => keep(event.data));
    taker.port.start();
    context.createMediaStreamSource(stream).connect(taker).connect(context.destination);
    await context.resume();
  } catch (fault) {
    context.close();
    for (const each of stream.getTracks()) each.stop();
    throw fault;
  }
  input = { context, stream, rate: context.sampleRate };
  track.addEventListener("ended", () => { stop(); complain("The input was lost. Start again."); });
  timer = setInterval(send, EVERY_MS);
  part("start").disabled = true;
  part("stop").disabled = false;
  say("Listening. Raise slowly.");
}

function stop() {
  clearInterval(timer);
  if (input) {
    for (const each of input.stream.getTracks()) each.stop();
    input.context.close();
  }
  input = null;
  kept = [];
  frames = 0;
  part("start").disabled = false;
  part("stop").disabled = true;
  say("Not listening.");
}

function keep(block) {
  if (!input) return;
  kept.push(block);
  frames += block.length;
  while (frames - kept[0].length > KEPT_S * input.rate) frames -= kept.shift().length;
}

function lastSeconds() {
  const samples = new Int16Array(frames);
  let at = 0;
  for (const block of kept) {
    for (const value of block) {
      samples[at] = Math.max(-32768, Math.min(32767, Math.round(value * 32767)));
      at += 1;
    }
  }
  return samples.buffer;
}

async function send() {
  if (sending || !input || frames < 0.5 * input.rate) return;
  sending = true;
  const began = performance.now();
  try {
    const answer = await fetch(`${panel.dataset.url}?rate=${Math.round(input.rate)}`, {
      method: "POST",
      headers: {
        "Content-Type": "application/octet-stream",
        "HX-Request": "true",
        "X-CSRFToken": panel.querySelector("[name=csrfmiddlewaretoken]").value,
      },
      body: lastSeconds(),
      signal: AbortSignal.timeout(LATE_MS),
    });
    if (answer.status === 403 || answer.headers.get("HX-Redirect")) throw new Error("You were signed out. Sign in again, then load this page anew.");
    show(await answer.text());
    const took = performance.now() - began;
    complain(took > SLOW_MS ? `The connection is slow: an answer took ${(took / 1000).toFixed(1)} s. Keep a hand on the master.` : "");
  } catch (fault) {
    const silent = fault instanceof TypeError || fault.name === "TimeoutError";
    complain(silent ? "No answer: nothing is listening now. Keep a hand on the master." : fault.message);
  } finally {
    sending = false;
  }
}

// A button that is about to be pressed stays where it is: only what changed is replaced.
const words = (box) => box.textContent.replace(/\s+/g, " ");

function show(text) {
  const box = document.getElementById("heard");
  if (box.contains(document.activeElement) && document.activeElement.tagName === "BUTTON") return;
  const fresh = new DOMParser().parseFromString(text, "text/html").getElementById("heard");
  if (fresh && words(fresh) !== words(box)) box.replaceWith(document.importNode(fresh, true));
}

part("start").addEventListener("click", () => {
  start().catch((fault) => complain(fault.name === "NotAllowedError"
    ? "The browser was not allowed to use the microphone. Allow it for this site, then load this page anew."
    : fault.message));
});
part("stop").addEventListener("click", stop);
