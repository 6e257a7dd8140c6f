"""PDF files written byte by byte, for pages that no decent program writes."""

from __future__ import annotations

from collections.abc import Sequence


def raw_pdf(
    content: bytes,
    *,
    page: bytes = b"/MediaBox[0 0 300 300]",
    resources: bytes = b"",
    objects: Sequence[bytes] = (),
) -> bytes:
    """Return a PDF of one page with this content; `objects` are numbered from 5.

    `page` holds further entries of the page, `resources` those of its resources.
    """
    every = [
        b"<</Type/Catalog/Pages 2 0 R>>",
        b"<</Type/Pages/Kids[3 0 R]/Count 1>>",
        b"<</Type/Page/Parent 2 0 R/Contents 4 0 R/Resources<<" + resources + b">>" + page + b">>",
        stream(content),
        *objects,
    ]
    out, places = b"%PDF-1.7\n", []
    for number, body in enumerate(every, 1):
        places.append(len(out))
        out += b"%d 0 obj\n%s\nendobj\n" % (number, body)
    table = b"".join(b"%010d 00000 n \n" % place for place in places)
    head = b"xref\n0 %d\n0000000000 65535 f \n" % (len(every) + 1)
    tail = b"trailer<</Size %d/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF" % (len(every) + 1, len(out))
    return out + head + table + tail


def stream(content: bytes, entries: bytes = b"") -> bytes:
    """Return the body of a stream object."""
    return b"<<%s/Length %d>>stream\n%s\nendstream" % (entries, len(content), content)


def form(content: bytes, entries: bytes = b"") -> bytes:
    """Return the body of a form that is drawn by `Do`."""
    return stream(content, b"/Type/XObject/Subtype/Form/BBox[-1000 -1000 1000 1000]" + entries)


def nested_forms(depth: int, fan: int) -> tuple[bytes, list[bytes]]:
    """Return resources and objects of forms that each draw the next `fan` times; the last draws a line."""
    objects = []
    for level in range(depth):
        body = b"/F Do " * fan if level < depth - 1 else b"10 20 m 110 20 l S"
        inner = b"/Resources<</XObject<</F %d 0 R>>>>" % (6 + level)
        objects.append(form(body, inner))
    return b"/XObject<</F 5 0 R>>", objects
