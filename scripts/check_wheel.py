"""Compare a built wheel with the files under src/: nothing may be left out of it, nothing else may be in it."""

import sys
import zipfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
NOT_SHIPPED = ("__pycache__", "hoistbook.egg-info")


def main(wheel: Path) -> int:
    """Print the differences; 0 when there are none."""
    source = {
        path.relative_to(ROOT / "src").as_posix()
        for path in (ROOT / "src").rglob("*")
        if path.is_file() and not set(path.relative_to(ROOT / "src").parts) & set(NOT_SHIPPED)
    }
    with zipfile.ZipFile(wheel) as archive:
        shipped = {name for name in archive.namelist() if ".dist-info/" not in name}
    for name in sorted(source - shipped):
        print(f"{wheel.name} lacks {name}; add its kind to [tool.setuptools.package-data] in pyproject.toml")
    for name in sorted(shipped - source):
        print(f"{wheel.name} holds {name}, which is not under src/")
    if source == shipped:
        print(f"{wheel.name} holds all {len(source)} files of src/")
    return int(source != shipped)


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
