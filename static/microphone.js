// Opens an input of this device so that nothing changes its sound, and hands on raw samples. Pages
// load it by the address in their data-microphone: file names carry a fingerprint.

const CHANGES = {
  echoCancellation: "echo cancelling",
  noiseSuppression: "noise suppression",
  autoGainControl: "automatic gain",
};
const LEAST_HZ = 44100;
const MOST_HZ = 192000;
const REFUSALS = {
  NotAllowedError:
    "The browser was not allowed to use the microphone. Allow it for this site in the browser's " +
    "settings, then load this page anew.",
  NotFoundError: "No input was found. Plug in the microphone or the interface, then open it again.",
  NotReadableError: "Another program holds this input. Close that program, then open it again.",
  OverconstrainedError: "This input is gone. Choose another one.",
};

export const FULL = 0.9999;
export const RUN = 3; // so many samples in a row at full scale are clipped

export const decibels = (value) => 20 * Math.log10(value);
export const levelWords = (value) => (value > 0 ? `${decibels(value).toFixed(1)} dB` : "silent");
export const inWords = (fault) => REFUSALS[fault.name] ?? fault.message;
export const canListen = () =>
  Boolean(window.isSecureContext && navigator.mediaDevices && window.AudioWorkletNode);

// heard(block) gets Float32Arrays of 4096 frames, channels interleaved. Throws in words.
export async function openInput({ device, channels, worklet, heard }) {
  const stream = await navigator.mediaDevices.getUserMedia({
    audio: {
      ...(device ? { deviceId: { exact: device } } : {}),
      echoCancellation: false,
      noiseSuppression: false,
      autoGainControl: false,
      channelCount: { ideal: channels },
    },
  });
  const track = stream.getAudioTracks()[0];
  const settings = track.getSettings();
  try {
    refuseChanges(settings);
    if (channels === 2 && settings.channelCount !== undefined && settings.channelCount < 2) {
      throw new Error("This input has one channel only. Choose one channel, or another input.");
    }
    const context = await listen(stream, settings, channels, worklet, heard);
    return { context, stream, track, settings, rate: context.sampleRate, channels };
  } catch (fault) {
    for (const each of stream.getTracks()) each.stop();
    throw fault;
  }
}

export function closeInput(input) {
  for (const track of input.stream.getTracks()) track.stop();
  input.context.close();
}

function refuseChanges(settings) {
  // Newer browsers name a kind of echo cancelling instead of true.
  const on = Object.keys(CHANGES).filter((name) => settings[name]);
  if (!on.length) return;
  throw new Error(
    `The browser keeps ${on.map((name) => CHANGES[name]).join(" and ")} on for this input: nothing ` +
    "can be measured this way. Choose another input or browser, or send a file.",
  );
}

export function doubts(settings) {
  const unknown = Object.keys(CHANGES).filter((name) => settings[name] === undefined);
  if (!unknown.length) return "Echo cancelling, noise suppression and automatic gain are off.";
  const words = unknown.map((name) => CHANGES[name]).join(" and ");
  return `Cannot check whether ${words} is off: this browser doesn't say. Compare with another device.`;
}

export function told(settings) {
  const states = Object.keys(CHANGES).map((name) => [name, settings[name] === undefined ? null : Boolean(settings[name])]);
  return JSON.stringify({ ...Object.fromEntries(states), input_hz: settings.sampleRate ?? null });
}

async function listen(stream, settings, channels, worklet, heard) {
  // At the input's own rate where it is known, so that nothing is converted.
  let context;
  try {
    context = new AudioContext(settings.sampleRate ? { sampleRate: settings.sampleRate } : {});
  } catch {
    context = new AudioContext();
  }
  try {
    if (context.sampleRate < LEAST_HZ || context.sampleRate > MOST_HZ) {
      throw new Error(
        `This input runs at ${context.sampleRate} Hz; it must be 44100 to 192000 Hz. Choose another ` +
        "input: wireless headsets can't be used.",
      );
    }
    await context.audioWorklet.addModule(worklet);
    const taker = new AudioWorkletNode(context, "taker", {
      channelCount: channels,
      channelCountMode: "explicit",
      channelInterpretation: "discrete",
      processorOptions: { channels },
    });
    taker.port.addEventListener("message", (event) => heard(event.data));
    taker.port.start();
    // What goes on to the output is silence; unconnected, the browser would not run it.
    context.createMediaStreamSource(stream).connect(taker).connect(context.destination);
    await context.resume();
    return context;
  } catch (fault) {
    context.close();
    throw fault;
  }
}

// Fills a list of inputs; the browser tells their names only once one was allowed.
export async function nameInputs(select, current) {
  const devices = await navigator.mediaDevices.enumerateDevices();
  while (select.options.length > 1) select.remove(1);
  for (const device of devices.filter((each) => each.kind === "audioinput" && each.deviceId)) {
    select.add(new Option(device.label || "unnamed input", device.deviceId));
  }
  if ([...select.options].some((option) => option.value === current)) select.value = current;
}
