"""The library: frames, curves, outlines. No wood, no part."""
