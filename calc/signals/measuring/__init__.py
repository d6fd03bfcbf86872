"""What recordings say: levels, transfer functions, responses, decays, speech, noise.

Samples are rows of numbers from -1 to 1 (full scale), (n,) or (channels, n): a memory map will
do, as everything here reads them in pieces. 0 dB re full scale is an rms of 1; a full-scale sine
reads -3.01 dB. Sentences in `cannot` say what a recording can't give and what to do.
"""
