#!/usr/bin/env python3
"""OpenCV's remap on the work of bench_warp.c and test_picture_warp.c: a general-purpose reference.

remap_opencv.py time SIDE RUNS: seconds of each run, kernel by kernel, two threads, a picture and a map as
bench_warp.c has them.
remap_opencv.py linear WIDTH HEIGHT SOURCE MAP RESULT: a grey raw picture sampled at a map of pairs of floats (pixel
centres on whole numbers), written raw.
"""
import sys
import time

import cv2
import numpy as np


def bent(side):
    """The map of bench_warp.c: a turn by 5 degrees and two slow waves."""
    y, x = np.mgrid[0:side, 0:side] + 0.5
    half, turn = side / 2, np.deg2rad(5)
    from_x = np.cos(turn) * (x - half) - np.sin(turn) * (y - half) + half + 20 * np.sin(y / 300)
    from_y = np.sin(turn) * (x - half) + np.cos(turn) * (y - half) + half + 20 * np.sin(x / 250)
    return (from_x - 0.5).astype(np.float32), (from_y - 0.5).astype(np.float32)


def time_all(side, runs):
    cv2.setNumThreads(2)
    from_x, from_y = bent(side)
    fixed = cv2.convertMaps(from_x, from_y, cv2.CV_16SC2)
    kernels = (("linear", cv2.INTER_LINEAR), ("cubic", cv2.INTER_CUBIC), ("lanczos4", cv2.INTER_LANCZOS4))
    for bands in (1, 3):
        shape = (side, side) if bands == 1 else (side, side, bands)
        source = np.random.default_rng(1).integers(0, 256, shape, dtype=np.uint8)
        for name, kernel in kernels:
            for kind, maps in (("float", (from_x, from_y)), ("fixed", fixed)):
                made = cv2.remap(source, *maps, kernel)
                for _ in range(runs):
                    start = time.perf_counter()
                    cv2.remap(source, *maps, kernel, dst=made)
                    print(name, bands, kind, time.perf_counter() - start)


def remap_linear(width, height, source, maps, result):
    picture = np.fromfile(source, np.uint8).reshape(height, width)
    places = np.fromfile(maps, np.float32).reshape(height, width, 2)
    cv2.remap(picture, places, None, cv2.INTER_LINEAR).tofile(result)


if __name__ == "__main__":
    if sys.argv[1] == "time":
        time_all(int(sys.argv[2]), int(sys.argv[3]))
    else:
        remap_linear(int(sys.argv[2]), int(sys.argv[3]), *sys.argv[4:])
