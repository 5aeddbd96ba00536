// xml.h - a small strict check that a text is well-formed XML, as far as our drawings use it.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_TESTS_XML_H
#define BW_TESTS_XML_H

#include <stdbool.h>
#include <stddef.h>

// NULL if well-formed: one root element, tags closed in order, attributes quoted and not twice,
// only the five predefined entities, no control characters, valid UTF-8. Else where it goes wrong.
// Comments, processing instructions, CDATA and document types are refused: we write none.
const char *xml_fault(const char *text, size_t length);

#endif
