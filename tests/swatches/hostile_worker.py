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
        began = time.process_time()
        try:
            photo = read_photo(path)
            said = {"opened": list(photo.srgb8.shape), "notes": list(photo.notes)}
        except PhotoError as fault:
            said = {"refused": str(fault), "mend": fault.mend}
        except BaseException:
            said = {"crashed": traceback.format_exc()}
        said["seconds"] = time.process_time() - began
        print(json.dumps({path.name: said}), flush=True)
    print(json.dumps({"peak_mb": _peak_mb()}), flush=True)


def _peak_mb() -> float:
    """The most memory this process held. getrusage would count the parent's, from before it became this one."""
    status = Path("/proc/self/status")
    if status.exists():
        line = next(line for line in status.read_text("utf-8").splitlines() if line.startswith("VmHWM"))
        return int(line.split()[1]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]))
