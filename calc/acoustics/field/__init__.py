"""The sound field of many sources at many points: fast, and within 0.001 dB of plain sums."""
