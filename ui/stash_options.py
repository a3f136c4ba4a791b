"""What the jobs that keep the stash in order take. Nothing of weight is imported here."""

from __future__ import annotations

from typing import Any

from ui.option_groups import add_job, add_stash

__all__ = ["add_stash_jobs"]


def add_stash_jobs(jobs: Any) -> None:
    """Adds the jobs that rename, take out and put back cloth."""
    rename = add_job(
        jobs,
        "rename-cloth",
        "call a cloth of your stash otherwise",
        ("ui.stash_jobs", "rename_cloth"),
        at_once=True,
    )
    rename.add_argument("cloth", metavar="CLOTH", help="a cloth of your stash, by name")
    rename.add_argument("name", metavar="NAME", help="what it is called from now on")
    add_stash(rename)
    remove = add_job(
        jobs,
        "remove-cloth",
        "take a cloth out of your stash; it can be put back",
        ("ui.stash_jobs", "remove_cloth"),
        at_once=True,
    )
    remove.add_argument("cloth", metavar="CLOTH", help="a cloth of your stash, by name")
    remove.add_argument("--for-good", action="store_true", help="keep nothing of it that could be put back")
    add_stash(remove)
    back = add_job(
        jobs,
        "put-back",
        "put a cloth that was taken out back into your stash",
        ("ui.stash_jobs", "put_back_cloth"),
        at_once=True,
    )
    back.add_argument("cloth", metavar="CLOTH", help="a cloth that was taken out, by name")
    add_stash(back)
