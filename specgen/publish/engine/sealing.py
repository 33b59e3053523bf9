"""The last pass over the written pages: names that carry a hash, and one policy on all of them.

The policy covers what any page carries inline, and so is known only when all pages are; what they
carry is noted while they are printed, so that one pass is enough. What another plugin put into a
page after that is found in this pass, and then there is a second.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from specgen.publish.delivery.names import Naming
from specgen.publish.web.policy import Inline, policy_tag, policy_text, with_policy


def seal(
    pages: Sequence[Path], noted: Inline, naming: Naming | None, *, policy: bool, live: bool = False
) -> None:
    """Rewrite every page once, then rename what they load.

    `noted` is what they are known to carry inline, and grows by what is found; `naming` gives what
    they load its new name, if it shall have one; `policy` asks for one on each page, `live` for
    that of the preview.
    """
    tag = policy_tag(policy_text(noted, live=live)) if policy else ""
    seen = _rewrite(pages, naming, tag)
    if policy and not noted.covers(seen):
        noted.take(seen)
        _rewrite(pages, None, policy_tag(policy_text(noted, live=live)), instead_of=tag)
    if naming is not None:
        naming.rename()


def _rewrite(
    pages: Sequence[Path], naming: Naming | None, tag: str, *, instead_of: str = ""
) -> Inline:
    """Name what each page loads, and put the policy's tag at its head; give what is inline."""
    seen = Inline()
    for page in pages:
        before = page.read_text(encoding="utf-8")
        seen.add(before)
        after = before.replace(instead_of, "", 1) if instead_of else before
        if naming is not None:
            after = naming.rewritten(after, page.relative_to(naming.folder).as_posix())
        if tag:
            after = with_policy(after, tag)
        if after != before:
            page.write_bytes(after.encode("utf-8"))
    return seen
