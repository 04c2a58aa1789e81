"""The same work by Pillow: decode, grey, Lanczos, Floyd-Steinberg, 1-bit PNG. Tells what it took as a last line of JSON."""

import json
import resource
import sys

from PIL import Image

source, target, width, height, dpi = sys.argv[1:]
Image.MAX_IMAGE_PIXELS = None
picture = Image.open(source).convert("L").resize((int(width), int(height)), Image.LANCZOS).convert("1")
picture.save(target, dpi=(float(dpi), float(dpi)))

usage = resource.getrusage(resource.RUSAGE_SELF)
# getrusage(2): kilobytes on Linux, bytes on macOS
peak_kib = usage.ru_maxrss // 1024 if sys.platform == "darwin" else usage.ru_maxrss
took = {"userS": usage.ru_utime, "systemS": usage.ru_stime, "peakKiB": peak_kib}
print(json.dumps(took), file=sys.stderr)
