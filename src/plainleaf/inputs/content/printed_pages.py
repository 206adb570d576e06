"""Reads the pages of the family's packet: which section is printed on which."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from plainleaf.inputs.content.loader import Loader, strings_at
from plainleaf.inputs.content.page_parts import PARTS, Page
from plainleaf.inputs.content.teaching_parts import Module
from plainleaf.inputs.strict_yaml import Reader
from plainleaf.vocabulary.errors import Fault

_FILE = "pages.yaml"


def read_pages(
    loader: Loader, modules: Sequence[Module], phrases: Collection[str]
) -> tuple[Page, ...]:
    """The pages in their order; each section of a module in use stands on exactly one."""
    reader = loader.open(_FILE)
    if reader is None:
        return ()
    homes = {section.id: "" for module in modules for section in module.sections}
    pages = [_page(child, homes, phrases) for child in reader.children("pages", required=True)]
    in_use = [s.id for module in modules if module.status != "retired" for s in module.sections]
    missing = [name for name in in_use if not homes[name]]
    if missing:
        reader.note(reader.node, f"no page takes: {', '.join(missing)}.", "Add each to a page.")
    reader.close()
    for pointed, (file, line) in loader.pointed.items():
        if pointed not in {page.id for page in pages}:
            wrong = f"points to page '{pointed}', and there is none."
            there = f"There are: {', '.join(page.id for page in pages)}."
            loader.faults.append(Fault(file, line, wrong, there))
    return tuple(pages)


def _page(reader: Reader, homes: dict[str, str], phrases: Collection[str]) -> Page:
    """A page; each section that it takes finds its home there.

    Args:
        homes: Section → the page that takes it, empty where none does yet.
    """
    page = Page(
        reader.text("id", required=True) or "",
        reader.choice("part", PARTS, required=True) or PARTS[-1],
        strings_at(reader, "takes", required=True),
    )
    if page.title(phrases, child=False) not in phrases:
        reader.note(reader.node, f"page '{page.id}' has no title.",
                    f"Write page-{page.id} in phrases.yaml.")  # fmt: skip
    for name in page.takes:
        if name not in homes:
            reader.note(reader.mapping["takes"], f"'{name}' is no section.")
        elif homes[name]:
            reader.note(reader.mapping["takes"], f"'{name}' stands on page '{homes[name]}' too.")
        else:
            homes[name] = page.id
    reader.close()
    return page
