"""Opens every file it is given under a memory limit, and prints what came of each, one line of JSON."""

from __future__ import annotations

import json
import resource
import sys
import time
import traceback
from pathlib import Path


def main(folder: str, limit_mb: int) -> None:
    # Address space: what the libraries themselves map counts too.
    resource.setrlimit(resource.RLIMIT_AS, (limit_mb << 20, limit_mb << 20))
    from swatches.decode import PhotoError, read_photo

    for path in sorted(Path(folder).iterdir()):
        if path.suffix == ".csv":
            continue
        began = time.perf_counter()
        try:
            photo = read_photo(path)
            said = {"opened": list(photo.srgb8.shape), "notes": list(photo.notes)}
        except PhotoError as fault:
            said = {"refused": str(fault), "mend": fault.mend}
        except BaseException:
            said = {"crashed": traceback.format_exc()}
        said["seconds"] = time.perf_counter() - began
        print(json.dumps({path.name: said}), flush=True)
    print(json.dumps({"peak_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024}), flush=True)


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]))
