"""Runs one of SciPy's solvers on the booster's equations in C. What to run comes as
JSON on stdin, the result goes as JSON to stdout; samples go to a file of doubles."""
import ctypes
import json
import sys
import time

import numpy
import scipy
from scipy.integrate import solve_ivp

ask = json.load(sys.stdin)
lib = ctypes.CDLL(ask["library"])
address = ctypes.c_void_p
lib.booster_rates.argtypes = [address, address, ctypes.c_double, address, address]
lib.booster_rates.restype = None
lib.booster_seen.argtypes = [address, address, address]
lib.booster_seen.restype = None

equations = ctypes.create_string_buffer(bytes.fromhex(ask["equations"]))
pieces = ctypes.create_string_buffer(bytes.fromhex(ask["pieces"]))
size = lib.piece_bytes()
of_equations, of_pieces = ctypes.addressof(equations), ctypes.addressof(pieces)
y0, atol, times = (numpy.array(ask[k]) for k in ("y0", "atol", "times"))
rates = lib.booster_rates


def run(sampled):
    """Integrates to the end, anew from every break; returns counts and samples."""
    t, y, calls, steps, samples = 0.0, y0, 0, 0, []
    for i, end in enumerate(ask["ends"]):
        piece = of_pieces + i * size

        def fun(t, y):
            y = numpy.ascontiguousarray(y)
            dy = numpy.empty_like(y)
            rates(of_equations, piece, t, y.ctypes.data, dy.ctypes.data)
            return dy

        inside = times[(times > t) & (times <= end)]
        at = numpy.union1d(inside, [end]) if sampled else None
        out = solve_ivp(fun, (t, end), y, method=ask["method"], rtol=ask["rtol"], atol=atol, t_eval=at)
        if not out.success:
            raise RuntimeError(f"at {out.t[-1]}: {out.message}")
        if sampled:
            samples.append(out.y.T[numpy.isin(at, inside)])
        t, y = end, out.y[:, -1]
        calls += out.nfev
        steps += len(out.t) - 1
    return calls, steps, samples


wall, cpu = time.perf_counter(), time.process_time()
calls, steps, _ = run(False)
cpu, wall = time.process_time() - cpu, time.perf_counter() - wall
along = numpy.ascontiguousarray(numpy.concatenate(run(True)[2]))
seen = numpy.empty((len(along), 3))
for k in range(len(along)):
    lib.booster_seen(of_equations, along[k].ctypes.data, seen[k].ctypes.data)
seen.tofile(ask["samples"])
json.dump({"calls": calls, "steps": steps, "cpu": cpu, "wall": wall,
           "version": f"SciPy {scipy.__version__}, NumPy {numpy.__version__}"}, sys.stdout)
