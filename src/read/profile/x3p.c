// x3p.c - X3P files (ISO 5436-2): an archive of a description in XML and heights in it or beside.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// By the published description of the format (revision 110 of 2008). Metres throughout. An axis
// told as I is even: its increment. One told as A stands in the data; whole numbers there are times
// increment plus offset, fractional ones are taken as they are, whatever the increment says. A
// point not seen is an empty Datum, NaN, or 0 in the packed bits of the valid points. The data's
// MD5 must be right; that of the description is often stale, and only told.
#include "base/alloc.h"
#include "base/number.h"
#include "read/profile/md5.h"
#include "read/profile/zip.h"

#include <expat.h>
#include <math.h>
#include <string.h>

#define MOST_XML ((size_t)64 << 20)
#define MOST_DATA (BW_MAX_PROFILE_POINTS * 3 * sizeof(double))
#define WORD 256

struct axis {
    bool told, absolute;
    char type;  // I (16 bits), L (32), F, D
    double increment, offset;
};

struct x3p {
    struct store *store;
    struct bw_err *err;
    XML_Parser parser;
    struct axis axes[3];
    int axis;  // the one being described, -1: none
    int depth;
    char text[WORD];
    size_t text_n;
    bool text_long;
    char feature[8], data_link[WORD], data_sum[WORD], valid_link[WORD], valid_sum[WORD];
    double size[3], list;
    uint64_t n, expected;  // Datum by Datum
    bool in_list, failed;
};

static bool stop(struct x3p *x3p) {
    x3p->failed = true;
    (void)XML_StopParser(x3p->parser, XML_FALSE);
    return false;
}

static bool bad(struct x3p *x3p, const char *what) {
    if (!x3p->failed)
        (void)bw_fail(x3p->err, BW_INPUT, "main.xml, line %lu: %s",
                      (unsigned long)XML_GetCurrentLineNumber(x3p->parser), what);
    return stop(x3p);
}

static const char *local_name(const char *name) {
    const char *colon = strchr(name, ':');
    return colon == NULL ? name : colon + 1;
}

// --- sizes and places ------------------------------------------------------------------------

// How many numbers a point has: one for each absolute axis; the height is the last.
static size_t columns_of_point(const struct x3p *x3p) {
    return (size_t)x3p->axes[0].absolute + x3p->axes[1].absolute + 1;
}

static double placed(const struct axis *axis, double v) {
    return axis->type == 'I' || axis->type == 'L' ? v * axis->increment + axis->offset : v;
}

static bool settle(struct x3p *x3p) {
    for (int i = 0; i < 3; i++)
        if (!x3p->axes[i].told) return bad(x3p, "an axis is not described");
    if (strcmp(x3p->feature, "PCL") == 0) {
        (void)bw_fail(x3p->err, BW_UNSUPPORTED,
                      "a cloud of points is no profile and no surface; export one of these");
        return stop(x3p);
    }
    double columns = x3p->list > 0 ? x3p->list : x3p->size[0];
    double rows = x3p->list > 0 ? 1 : x3p->size[1];
    if (x3p->list == 0 && x3p->size[2] > 1) return bad(x3p, "more than one layer is not read");
    if (!(columns >= 0 && columns <= 1e9 && rows >= 0 && rows <= 1e9))
        return bad(x3p, "the sizes cannot be");
    if (!store_size(x3p->store, (uint64_t)columns, (uint64_t)rows, x3p->err)) return stop(x3p);
    x3p->store->about.dx = x3p->axes[0].increment;
    x3p->store->about.dy = rows > 1 ? x3p->axes[1].increment : 0;
    x3p->expected = (uint64_t)columns * (uint64_t)rows;
    return true;
}

// One point as it stands in the data: places of absolute axes, then the height.
static void put_point(struct x3p *x3p, const double v[3]) {
    struct store *store = x3p->store;
    uint64_t columns = store->about.columns, column = x3p->n % columns, row = x3p->n / columns;
    size_t k = 0;
    if (x3p->axes[0].absolute) {
        if (row == 0) store->x[column] = placed(&x3p->axes[0], v[k]);
        k++;
    }
    if (x3p->axes[1].absolute) {
        double y = placed(&x3p->axes[1], v[k++]);
        if (column == 0 && row == 0) store->about.dy = -y;
        if (column == 0 && row == 1) store->about.dy = fabs(store->about.dy + y);
    }
    store->heights[x3p->n++] = placed(&x3p->axes[2], v[k]);
}

// --- XML -------------------------------------------------------------------------------------

static void begin(void *with, const char *name, const char **attributes) {
    struct x3p *x3p = with;
    (void)attributes;
    name = local_name(name);
    if (++x3p->depth > BW_MAX_DEPTH) {
        (void)bad(x3p, "too many things within each other");
        return;
    }
    if (name[0] == 'C' && name[1] >= 'X' && name[1] <= 'Z' && name[2] == '\0') {
        x3p->axis = name[1] - 'X';
        x3p->axes[x3p->axis] = (struct axis){.told = true, .increment = 1, .type = 'D'};
    }
    if (strcmp(name, "DataList") == 0) x3p->in_list = settle(x3p);
    x3p->text_n = 0;
    x3p->text_long = false;
}

static void characters(void *with, const char *text, int n) {
    struct x3p *x3p = with;
    for (int i = 0; i < n; i++) {
        if (x3p->text_n == 0 && strchr(" \t\r\n", text[i]) != NULL) continue;
        if (x3p->text_n + 1 < WORD)
            x3p->text[x3p->text_n++] = text[i];
        else
            x3p->text_long = true;
    }
}

static bool number(struct x3p *x3p, double *out) {
    struct bw_err ignored = {0};
    if (x3p->text_n == 0) return true;  // an empty Offset is none
    if (bw_number(x3p->text, x3p->text_n, out, &ignored)) return true;
    return bad(x3p, "this is no number");
}

static void copy(const struct x3p *x3p, char *to, size_t size) {
    size_t n = x3p->text_n < size - 1 ? x3p->text_n : size - 1;
    memcpy(to, x3p->text, n);
    to[n] = '\0';
}

// "4.86E-0001", "1;0.48", or nothing at all.
static bool datum(struct x3p *x3p) {
    double v[3] = {(double)NAN, (double)NAN, (double)NAN};
    struct bw_err ignored = {0};
    size_t expected = columns_of_point(x3p), n = 0;
    if (x3p->n == x3p->expected) return bad(x3p, "more points than the sizes say");
    for (const char *at = x3p->text, *end = at + x3p->text_n; at < end && n < 3; n++) {
        const char *part = memchr(at, ';', (size_t)(end - at));
        size_t length = (size_t)((part == NULL ? end : part) - at);
        if (!bw_number(at, length, &v[n], &ignored)) return bad(x3p, "a point is no number");
        at += length + 1;
    }
    if (n != 0 && n != expected) return bad(x3p, "a point has not as many numbers as axes");
    if (n == 0 && x3p->axes[0].absolute && x3p->n < x3p->store->about.columns)
        return bad(x3p, "a point not seen has no place");
    put_point(x3p, v);
    return true;
}

static void axis_end(struct x3p *x3p, const char *name) {
    struct axis *axis = &x3p->axes[x3p->axis];
    if (strcmp(name, "AxisType") == 0) axis->absolute = x3p->text[0] == 'A';
    if (strcmp(name, "DataType") == 0 && strchr("ILFD", x3p->text[0]) == NULL)
        (void)bad(x3p, "a DataType is I, L, F or D");
    if (strcmp(name, "DataType") == 0) axis->type = x3p->text[0];
    if (strcmp(name, "Increment") == 0) (void)number(x3p, &axis->increment);
    if (strcmp(name, "Offset") == 0) (void)number(x3p, &axis->offset);
}

static void end(void *with, const char *name) {
    struct x3p *x3p = with;
    name = local_name(name);
    x3p->depth--;
    while (x3p->text_n > 0 && strchr(" \t\r\n", x3p->text[x3p->text_n - 1]) != NULL) x3p->text_n--;
    x3p->text[x3p->text_n] = '\0';
    static const struct {
        const char *name;
        size_t offset, size;
    } WORDS[] = {
        {"FeatureType", offsetof(struct x3p, feature), 8},
        {"PointDataLink", offsetof(struct x3p, data_link), WORD},
        {"MD5ChecksumPointData", offsetof(struct x3p, data_sum), WORD},
        {"ValidPointsLink", offsetof(struct x3p, valid_link), WORD},
        {"MD5ChecksumValidPoints", offsetof(struct x3p, valid_sum), WORD},
    };
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++)
        if (strcmp(name, WORDS[i].name) == 0)
            copy(x3p, (char *)x3p + WORDS[i].offset, WORDS[i].size);
    if (strcmp(name, "SizeX") == 0) (void)number(x3p, &x3p->size[0]);
    if (strcmp(name, "SizeY") == 0) (void)number(x3p, &x3p->size[1]);
    if (strcmp(name, "SizeZ") == 0) (void)number(x3p, &x3p->size[2]);
    if (strcmp(name, "ListDimension") == 0) (void)number(x3p, &x3p->list);
    if (strcmp(name, "Datum") == 0 && x3p->in_list && !x3p->failed) (void)datum(x3p);
    if (x3p->axis >= 0 && name[0] == 'C' && name[1] == 'X' + x3p->axis && name[2] == '\0')
        x3p->axis = -1;
    else if (x3p->axis >= 0 && !x3p->failed)
        axis_end(x3p, name);
    x3p->text_n = 0;
}

// A document type may hold entities that blow up; the format has no use for one.
static void doctype(void *with, const char *name, const char *system, const char *public,
                    int internal) {
    (void)name, (void)system, (void)public, (void)internal;
    (void)bad(with, "a document type is not taken");
}

static bool parse(struct x3p *x3p, const unsigned char *xml, size_t length) {
    x3p->parser = XML_ParserCreate(NULL);
    if (x3p->parser == NULL) return bw_fail_memory(x3p->err);
    (void)XML_SetHashSalt(x3p->parser, 1);  // the jail has no source of random numbers
    XML_SetUserData(x3p->parser, x3p);
    XML_SetElementHandler(x3p->parser, begin, end);
    XML_SetCharacterDataHandler(x3p->parser, characters);
    XML_SetStartDoctypeDeclHandler(x3p->parser, doctype);
    bool ok = XML_Parse(x3p->parser, (const char *)xml, (int)length, XML_TRUE) == XML_STATUS_OK;
    if (!ok && !x3p->failed)
        (void)bw_fail(x3p->err, BW_INPUT, "main.xml, line %lu: %s",
                      (unsigned long)XML_GetCurrentLineNumber(x3p->parser),
                      XML_ErrorString(XML_GetErrorCode(x3p->parser)));
    if (ok && !x3p->in_list) ok = settle(x3p);
    XML_ParserFree(x3p->parser);
    return ok && !x3p->failed;
}

// --- binary data -------------------------------------------------------------------------------

static void sum_text(const unsigned char *bytes, size_t length, char out[33]) {
    static const char DIGITS[] = "0123456789abcdef";
    unsigned char sum[16];
    md5(bytes, length, sum);
    for (size_t i = 0; i < 16; i++) {
        out[2 * i] = DIGITS[sum[i] >> 4];
        out[2 * i + 1] = DIGITS[sum[i] & 15];
    }
    out[32] = '\0';
}

static bool same_sum(const unsigned char *bytes, size_t length, const char *told) {
    char sum[33];
    sum_text(bytes, length, sum);
    for (size_t i = 0; i < 32; i++)
        if (sum[i] != (told[i] >= 'A' && told[i] <= 'F' ? told[i] | 0x20 : told[i])) return false;
    return true;
}

// A file the description links to, with its sum checked. `*bytes` NULL: there is no link.
static bool linked(struct x3p *x3p, const struct zip *zip, const char *const told[2],
                   unsigned char **bytes, size_t *length) {
    struct zip_member member;
    bool found;
    *bytes = NULL;
    if (told[0][0] == '\0') return true;
    if (!zip_find(zip, told[0], &member, &found, x3p->err)) return false;
    if (!found)
        return bw_fail(x3p->err, BW_INPUT, "the archive lacks the data that main.xml links to");
    if (!zip_unpack(&member, MOST_DATA, bytes, x3p->err)) return false;
    *length = member.bytes;
    if (told[1][0] == '\0' || same_sum(*bytes, *length, told[1])) return true;
    return bw_fail(x3p->err, BW_INPUT,
                   "the data's check sum is wrong: the file is damaged; copy "
                   "it again");
}

static double binary_value(const unsigned char **at, char type) {
    int16_t i16;
    int32_t i32;
    float f;
    double d;
    const unsigned char *from = *at;
    switch (type) {
    case 'I':
        memcpy(&i16, from, 2);
        *at += 2;
        return i16;
    case 'L':
        memcpy(&i32, from, 4);
        *at += 4;
        return i32;
    case 'F':
        memcpy(&f, from, 4);
        *at += 4;
        return (double)f;
    default:
        memcpy(&d, from, 8);
        *at += 8;
        return d;
    }
}

static size_t type_bytes(char type) { return type == 'I' ? 2 : type == 'D' ? 8 : 4; }

static bool binary(struct x3p *x3p, const unsigned char *data, size_t length,
                   const unsigned char *valid, size_t valid_length) {
    size_t each = type_bytes(x3p->axes[2].type);
    for (int i = 0; i < 2; i++)
        if (x3p->axes[i].absolute) each += type_bytes(x3p->axes[i].type);
    if (length / each < x3p->expected)
        return bw_fail(x3p->err, BW_INPUT, "the data hold %zu points, main.xml says %llu",
                       length / each, (unsigned long long)x3p->expected);
    if (valid != NULL && valid_length < (x3p->expected + 7) / 8)
        return bw_fail(x3p->err, BW_INPUT, "the list of valid points is too short");
    for (uint64_t i = 0; i < x3p->expected; i++) {
        double v[3] = {0};
        size_t k = 0;
        for (int a = 0; a < 3; a++)
            if (a == 2 || x3p->axes[a].absolute) v[k++] = binary_value(&data, x3p->axes[a].type);
        if (valid != NULL && (valid[i / 8] >> (i % 8) & 1) == 0) v[k - 1] = (double)NAN;
        put_point(x3p, v);
    }
    return true;
}

static bool heights(struct x3p *x3p, const struct zip *zip) {
    unsigned char *data = NULL, *valid = NULL;
    size_t length = 0, valid_length = 0;
    const char *const links[2][2] = {{x3p->data_link, x3p->data_sum},
                                     {x3p->valid_link, x3p->valid_sum}};
    bool ok = linked(x3p, zip, links[0], &data, &length) &&
              linked(x3p, zip, links[1], &valid, &valid_length);
    if (ok && data == NULL)
        ok = bw_fail(x3p->err, BW_INPUT, "main.xml neither holds the heights nor links to them");
    ok = ok && binary(x3p, data, length, valid, valid_length);
    bw_free(data);
    bw_free(valid);
    return ok;
}

static bool check_description(const struct zip *zip, const unsigned char *xml, size_t length,
                              struct store *store, struct bw_err *err) {
    struct zip_member member;
    bool found;
    unsigned char *told;
    if (!zip_find(zip, "md5checksum.hex", &member, &found, err)) return false;
    if (!found) return true;
    if (!zip_unpack(&member, 4096, &told, err)) return false;
    bool right = member.bytes >= 32 && same_sum(xml, length, (const char *)told);
    store->about.sum = right ? BW_SUM_RIGHT : BW_SUM_STALE;
    bw_free(told);
    return true;
}

static bool read_points(struct x3p *x3p, const struct zip *zip, const unsigned char *xml,
                        size_t length) {
    if (!check_description(zip, xml, length, x3p->store, x3p->err) || !parse(x3p, xml, length))
        return false;
    if (!x3p->in_list && !heights(x3p, zip)) return false;
    if (x3p->n != x3p->expected)
        return bw_fail(x3p->err, BW_INPUT, "main.xml holds %llu points, its sizes say %llu",
                       (unsigned long long)x3p->n, (unsigned long long)x3p->expected);
    x3p->store->about.format = BW_PROFILE_X3P;
    return !x3p->axes[0].absolute || store_places(x3p->store, NULL, x3p->err);
}

bool read_x3p(struct input in, struct store *store, struct bw_err *err) {
    struct x3p x3p = {.store = store, .err = err, .axis = -1};
    struct zip zip;
    struct zip_member member;
    bool found;
    unsigned char *xml;
    if (!zip_open(in, &zip, err) || !zip_find(&zip, "main.xml", &member, &found, err)) return false;
    if (!found)
        return bw_fail(err, BW_UNSUPPORTED, "the archive holds no main.xml: it is no X3P file");
    if (!zip_unpack(&member, MOST_XML, &xml, err)) return false;
    bool ok = read_points(&x3p, &zip, xml, member.bytes);
    bw_free(xml);
    return ok;
}
