"""Cloth of the stash called otherwise, taken out, and put back again."""

from __future__ import annotations

from ui.shelf import open_shelf

__all__ = ["put_back_cloth", "remove_cloth", "rename_cloth"]


def rename_cloth(*, cloth: str, name: str, stash: str | None) -> None:
    """Gives a cloth another name and says so. Auditions find it as before, by its key.

    Raises: Mistake if there is none, StashError if the name is taken, SwatchError for what is no name.
    """
    before, now = open_shelf(stash).rename(cloth, name)
    print(f'"{before}" is called "{now}" from now on; auditions that hold it find it as before.')


def remove_cloth(*, cloth: str, for_good: bool, stash: str | None) -> None:
    """Takes a cloth out of the stash and says how it comes back, or how it goes for good.

    Raises: Mistake if there is none.
    """
    shelf = open_shelf(stash)
    if for_good:
        print(f'"{shelf.forget(cloth)}" is gone for good.')
        return
    name = shelf.remove(cloth)
    print(f'"{name}" is out of your stash. To have it back: seamlight put-back "{name}"')
    print(f'To give it away for good: seamlight remove-cloth "{name}" --for-good')


def put_back_cloth(*, cloth: str, stash: str | None) -> None:
    """Puts a cloth that was taken out where it was.

    Raises: StashError for none, or if its name is taken by now.
    """
    print(f'"{open_shelf(stash).put_back(cloth)}" is in your stash again.')
