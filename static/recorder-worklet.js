// Takes samples as they come and hands them on in blocks; changes nothing.

const BLOCK = 4096;

class Taker extends AudioWorkletProcessor {
  constructor(options) {
    super();
    this.channels = options.processorOptions.channels;
    this.start();
  }

  start() {
    this.block = new Float32Array(BLOCK * this.channels);
    this.filled = 0;
  }

  process(inputs) {
    const input = inputs[0];
    if (!input.length) return true; // nothing is connected yet
    for (let frame = 0; frame < input[0].length; frame += 1) {
      for (let channel = 0; channel < this.channels; channel += 1) {
        this.block[this.filled * this.channels + channel] = (input[channel] ?? input[0])[frame];
      }
      this.filled += 1;
      if (this.filled === BLOCK) {
        this.port.postMessage(this.block, [this.block.buffer]);
        this.start();
      }
    }
    return true;
  }
}

registerProcessor("taker", Taker);
