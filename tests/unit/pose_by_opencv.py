"""The misfit of a camera as OpenCV finds it: an outside reference for test_camera.

Reads sets of points from standard input, each after a line "n width height k1 known_focal start_focal" (k1 0 or 1;
known_focal 0: to be found, from start_focal), n lines "x y z px_x px_y"; writes the rms distance in px of each, a
line each. Ends with status 77 where OpenCV is missing.
"""
import sys

try:
    import cv2
    import numpy
except ImportError:
    sys.exit(77)


def rms(points, seen, turn, shift, matrix, lens):
    found, _ = cv2.projectPoints(points, turn, shift, matrix, lens)
    return numpy.sqrt(numpy.mean(numpy.sum((found[:, 0] - seen) ** 2, axis=1)))


def fixed_focal(points, seen, matrix):
    """solvePnP's start for any points, refined."""
    _, turn, shift = cv2.solvePnP(points, seen, matrix, None, flags=cv2.SOLVEPNP_SQPNP)
    turn, shift = cv2.solvePnPRefineLM(points, seen, matrix, None, turn, shift,
                                       (cv2.TERM_CRITERIA_COUNT | cv2.TERM_CRITERIA_EPS, 200, 1e-14))
    return rms(points, seen, turn, shift, matrix, None)


def fitted_focal(points, seen, size, matrix, bent):
    flags = (cv2.CALIB_USE_INTRINSIC_GUESS | cv2.CALIB_FIX_PRINCIPAL_POINT | cv2.CALIB_FIX_ASPECT_RATIO
             | cv2.CALIB_ZERO_TANGENT_DIST | cv2.CALIB_FIX_K2 | cv2.CALIB_FIX_K3)
    if not bent:
        flags |= cv2.CALIB_FIX_K1
    until = (cv2.TERM_CRITERIA_COUNT | cv2.TERM_CRITERIA_EPS, 500, 1e-14)
    _, matrix, lens, turns, shifts = cv2.calibrateCamera(
        [points.astype(numpy.float32)], [seen.astype(numpy.float32)], size, matrix, numpy.zeros(5),
        flags=flags, criteria=until)
    return rms(points, seen, turns[0], shifts[0], matrix, lens)


def main():
    lines = iter(sys.stdin.read().splitlines())
    for heading in lines:
        n, width, height, bent, known, start = (float(word) for word in heading.split())
        rows = numpy.array([[float(word) for word in next(lines).split()] for _ in range(int(n))])
        points, seen = rows[:, :3].copy(), rows[:, 3:].copy()
        focal = known or start
        matrix = numpy.array([[focal, 0, width / 2], [0, focal, height / 2], [0, 0, 1]])
        if known:
            print(fixed_focal(points, seen, matrix))
        else:
            print(fitted_focal(points, seen, (int(width), int(height)), matrix, bool(bent)))


main()
