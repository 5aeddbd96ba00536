// frame.c - see frame.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Scale: each way with the error it usually has (common practice, no source) and that of pointing
// at a pixel, added in squares. A rectangle of known size also takes the perspective out: four
// points fix the map between the panel's plane and the picture (Hartley and Zisserman, Multiple
// View Geometry, 2nd ed., chapter 4, from memory); the picture is then looked at as if from
// straight above, as far as its own corners reach.
#include "study/marks/frame.h"

#include "base/number.h"

#include <math.h>
#include <string.h>

#define POINTING 1.0     // pixels, each point
#define LINES_SD 0.0025  // of the length, pencil lines measured with a steel rule
#define CARD_SD 0.008    // a card is a millimetre thick and seldom close enough
#define RECTANGLE_SD 0.003
#define RULER_SD 0.012  // lies above the face
#define SCAN_SD 0.003
#define CARD_WIDTH 0.0856  // ISO/IEC 7810 ID-1
#define CARD_HEIGHT 0.05398
#define INCH 0.0254

enum { WAY_PHOTO = 3, WAY_LINES = 4, WAY_CARD = 5, WAY_SCAN = 6 };  // of bw_pitch_ways

// --- points ------------------------------------------------------------------------------------

static bool number_at(const char **text, double *out, struct bw_err *err) {
    while (**text == ' ') (*text)++;
    size_t n = strcspn(*text, ", ");
    if (!bw_number(*text, n, out, err)) return false;
    *text += n;
    return true;
}

bool marks_points_read(const char *text, int n, struct marks_point *out, struct bw_err *err) {
    const char *at = text;
    bool ok = true;
    for (int i = 0; ok && i < n; i++) {
        struct bw_err inner = {0};
        ok = number_at(&at, &out[i].x, &inner) && *at == ',';
        if (ok) at++;
        ok = ok && number_at(&at, &out[i].y, &inner);
    }
    while (ok && *at == ' ') at++;
    if (ok && *at == '\0') return true;
    bw_fail(err, BW_INPUT, "needs %d points", n);
    bw_err_value(err, text);
    bw_err_mend(err, "write each as x,y in pixels from the top left, with spaces between, such as "
                     "120,340 3900,352");
    return false;
}

static bool inside(const struct bw_picture *picture, const struct marks_point *points, int n,
                   struct bw_err *err) {
    for (int i = 0; i < n; i++)
        if (points[i].x < -1 || points[i].y < -1 || points[i].x > picture->width ||
            points[i].y > picture->height) {
            bw_fail(err, BW_INPUT, "point %d lies outside the picture", i + 1);
            bw_err_mend(err, "the picture has %u x %u pixels, counted from the top left",
                        picture->width, picture->height);
            return false;
        }
    return true;
}

static double distance(struct marks_point a, struct marks_point b) {
    return hypot(a.x - b.x, a.y - b.y);
}

// --- light -------------------------------------------------------------------------------------

static float light_at(const struct bw_picture *picture, size_t x, size_t y) {
    size_t at = y * picture->width + x;
    return picture->linear[picture->bits == 8 ? ((const uint8_t *)picture->codes)[at]
                                              : ((const uint16_t *)picture->codes)[at]];
}

float marks_light(const struct bw_picture *picture, struct marks_point p) {
    double x = fmin(fmax(p.x, 0), picture->width - 1), y = fmin(fmax(p.y, 0), picture->height - 1);
    size_t x0 = (size_t)x, y0 = (size_t)y;
    size_t x1 = x0 + 1 < picture->width ? x0 + 1 : x0, y1 = y0 + 1 < picture->height ? y0 + 1 : y0;
    float a = (float)(x - (double)x0), b = (float)(y - (double)y0);
    float top = (1 - a) * light_at(picture, x0, y0) + a * light_at(picture, x1, y0);
    float bottom = (1 - a) * light_at(picture, x0, y1) + a * light_at(picture, x1, y1);
    return (1 - b) * top + b * bottom;
}

// --- maps --------------------------------------------------------------------------------------

static struct marks_point through(const double map[9], double u, double v) {
    double w = map[6] * u + map[7] * v + map[8];
    return (struct marks_point){(map[0] * u + map[1] * v + map[2]) / w,
                                (map[3] * u + map[4] * v + map[5]) / w};
}

static void multiply(const double a[9], const double b[9], double out[9]) {
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            out[3 * i + j] = 0;
            for (int k = 0; k < 3; k++) out[3 * i + j] += a[3 * i + k] * b[3 * k + j];
        }
}

static void invert(const double m[9], double out[9]) {
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            int a = (i + 1) % 3, b = (i + 2) % 3, c = (j + 1) % 3, d = (j + 2) % 3;
            // The adjugate: a map's scale does not matter.
            out[3 * j + i] = m[3 * a + c] * m[3 * b + d] - m[3 * a + d] * m[3 * b + c];
        }
}

// Gauss with column pivots; false: singular.
static bool solve(double a[8][9]) {
    for (int i = 0; i < 8; i++) {
        int top = i;
        for (int r = i + 1; r < 8; r++)
            if (fabs(a[r][i]) > fabs(a[top][i])) top = r;
        if (fabs(a[top][i]) < 1e-12) return false;
        for (int c = 0; c < 9; c++) {
            double held = a[i][c];
            a[i][c] = a[top][c];
            a[top][c] = held;
        }
        for (int r = 0; r < 8; r++) {
            double share = r == i ? 0 : a[r][i] / a[i][i];
            for (int c = i; c < 9; c++) a[r][c] -= share * a[i][c];
        }
    }
    for (int i = 0; i < 8; i++) a[i][8] /= a[i][i];
    return true;
}

// The map of a rectangle 0,0 .. w,h onto four corners, going round.
static bool map_of(const struct marks_point corner[4], double w, double h, double map[9]) {
    const double us[] = {0, w, w, 0}, vs[] = {0, 0, h, h};
    double a[8][9] = {{0}};
    for (int i = 0; i < 4; i++) {
        double u = us[i], v = vs[i], x = corner[i].x, y = corner[i].y;
        double rows[2][9] = {{u, v, 1, 0, 0, 0, -u * x, -v * x, x},
                             {0, 0, 0, u, v, 1, -u * y, -v * y, y}};
        memcpy(a[2 * i], rows, sizeof rows);
    }
    if (!solve(a)) return false;
    for (int i = 0; i < 8; i++) map[i] = a[i][8];
    map[8] = 1;
    return true;
}

// --- scales ------------------------------------------------------------------------------------

static double stated(struct bw_quantity q, double otherwise) {
    return bw_sd_known(q) ? q.sd / q.v : otherwise;
}

static void set_scale(struct marks_frame *frame, double pixel, double relative, const char *by,
                      int way) {
    frame->pixel = bw_about(pixel, pixel * relative);
    frame->scale_by = by;
    frame->pitch_way = way;
}

// Several lines: the mean, weighed by length in pixels.
static bool by_lines(const struct marks_input *in, struct marks_frame *frame, struct bw_err *err) {
    double length = 0, pixels = 0, square = 0;
    for (size_t i = 0; i < in->lines.n; i++) {
        const struct marks_line *line = (const struct marks_line *)in->lines.items + i;
        struct marks_point end[2];
        bool ok = marks_points_read(line->ends, 2, end, err) && inside(frame->picture, end, 2, err);
        if (ok && distance(end[0], end[1]) < 20)
            ok = bw_fail(err, BW_INPUT, "the two points are closer than 20 pixels");
        if (!ok) {
            bw_err_within(err, "ends");
            bw_err_within_index(err, "lines", i);
            return false;
        }
        double d = distance(end[0], end[1]);
        length += line->length.v;
        pixels += d;
        square += pow(d, 2) * (pow(stated(line->length, LINES_SD), 2) + 2 * pow(POINTING / d, 2));
    }
    set_scale(frame, length / pixels, sqrt(square) / pixels, "two points on the face", WAY_LINES);
    return true;
}

// As much of the panel's plane as the picture shows all over.
static bool spread_out(struct marks_frame *frame, const double plane_to_picture[9], double pixel,
                       struct bw_err *err) {
    double back[9], w = frame->picture->width, h = frame->picture->height;
    invert(plane_to_picture, back);
    struct marks_point a = through(back, 0, 0), b = through(back, w, 0), c = through(back, w, h),
                       d = through(back, 0, h);
    double left = fmax(a.x, d.x), right = fmin(b.x, c.x), top = fmax(a.y, b.y),
           bottom = fmin(c.y, d.y);
    double columns = (right - left) / pixel, rows = (bottom - top) / pixel;
    if (!(columns >= 64 && rows >= 64 && columns < 2 * (w + h) && rows < 2 * (w + h)))
        return bw_fail(err, BW_INPUT, "these corners cannot be those of a rectangle on the panel");
    const double shrink[9] = {pixel, 0, left, 0, pixel, top, 0, 0, 1};
    multiply(plane_to_picture, shrink, frame->map);
    frame->warped = true;
    frame->width = (size_t)columns;
    frame->height = (size_t)rows;
    return true;
}

static bool by_corners(const char *text, double w, double h, struct marks_frame *frame,
                       struct bw_err *err) {
    struct marks_point corner[4];
    if (!marks_points_read(text, 4, corner, err) || !inside(frame->picture, corner, 4, err))
        return false;
    double turn = 0, least = HUGE_VAL;
    for (int i = 0; i < 4; i++) {
        struct marks_point p = corner[i], q = corner[(i + 1) % 4], r = corner[(i + 2) % 4];
        double cross = (q.x - p.x) * (r.y - q.y) - (q.y - p.y) * (r.x - q.x);
        least = fmin(least, distance(p, q));
        if (i == 0) turn = cross;
        if (!(cross * turn > 0) || least < 20) {
            bw_fail(err, BW_INPUT, "the corners do not go round a rectangle");
            bw_err_mend(err, "give them in order: top left, top right, bottom right, bottom left");
            return false;
        }
    }
    // Not finer than the picture: the longest pixel of the four sides.
    double across = fmax(distance(corner[0], corner[1]), distance(corner[3], corner[2]));
    double down = fmax(distance(corner[1], corner[2]), distance(corner[0], corner[3]));
    double pixel = fmin(w / across, h / down), map[9];
    if (!map_of(corner, w, h, map))
        return bw_fail(err, BW_INPUT, "the corners do not go round a rectangle");
    frame->pixel = bw_about(pixel, M_SQRT2 * POINTING / fmin(across, down));
    return spread_out(frame, map, pixel, err);
}

static bool by_rectangle(const struct marks_input *in, struct marks_frame *frame,
                         struct bw_err *err) {
    bool card = in->bank_card != NULL;
    const struct marks_rectangle *given = in->rectangles.items;
    const char *corners = card ? in->bank_card : given->corners;
    double w = card ? CARD_WIDTH : given->width.v, h = card ? CARD_HEIGHT : given->height.v;
    if (!by_corners(corners, w, h, frame, err)) {
        if (!card) bw_err_within(err, "corners");
        if (card)
            bw_err_within(err, "bank_card");
        else
            bw_err_within_index(err, "rectangles", 0);
        return false;
    }
    double usual =
        card ? CARD_SD
             : fmax(stated(given->width, RECTANGLE_SD), stated(given->height, RECTANGLE_SD));
    set_scale(frame, frame->pixel.v, hypot(usual, frame->pixel.sd),
              card ? "a bank card" : "a rectangle of known size", card ? WAY_CARD : WAY_LINES);
    return true;
}

static bool by_ruler(const struct marks_input *in, struct marks_frame *frame, struct bw_err *err) {
    const struct marks_ruler *ruler = in->rulers.items;
    struct marks_point end[2];
    double step;
    bool ok = marks_points_read(ruler->ends, 2, end, err) && inside(frame->picture, end, 2, err);
    if (ok && !marks_ruler_step(frame->picture, end, &step)) {
        ok = bw_fail(err, BW_INPUT, "no row of ticks between these two points");
        bw_err_mend(err,
                    "put both points on the ticks themselves, at least ten ticks apart; a tick "
                    "needs three pixels");
    }
    if (!ok) {
        bw_err_within(err, "ends");
        bw_err_within_index(err, "rulers", 0);
        return false;
    }
    set_scale(frame, ruler->step.v / step, hypot(RULER_SD, stated(ruler->step, 0)),
              "the ticks of a ruler", WAY_PHOTO);
    return true;
}

// A scanner writes its resolution; a phone writes 72, or a number that means nothing.
static bool own_resolution(const struct bw_picture *picture) {
    double dpi = picture->about.x_per_m * INCH;
    return dpi >= 100 && dpi <= 4800 && picture->about.taken_at[0] == '\0' &&
           fabs(picture->about.x_per_m / picture->about.y_per_m - 1) < 0.001;
}

static bool scale(const struct marks_input *in, struct marks_frame *frame, struct bw_err *err) {
    if (in->lines.n > 0) return by_lines(in, frame, err);
    if (in->rectangles.n > 0 || in->bank_card != NULL) return by_rectangle(in, frame, err);
    if (in->rulers.n > 0) return by_ruler(in, frame, err);
    if (bw_known(in->dpi))
        set_scale(frame, INCH / in->dpi.v, stated(in->dpi, SCAN_SD), "dots per inch as given",
                  WAY_SCAN);
    else if (own_resolution(frame->picture))
        set_scale(frame, 1 / frame->picture->about.x_per_m, SCAN_SD,
                  "the resolution stated in the file", WAY_SCAN);
    return true;
}

// --- part and skew -----------------------------------------------------------------------------

static bool cut(const struct marks_input *in, struct marks_frame *frame, struct bw_err *err) {
    if (in->part == NULL) return true;
    struct marks_point end[2];
    bool ok = marks_points_read(in->part, 2, end, err) && inside(frame->picture, end, 2, err);
    double left = fmax(0, floor(fmin(end[0].x, end[1].x)));
    double top = fmax(0, floor(fmin(end[0].y, end[1].y)));
    double w = fmin(frame->picture->width, ceil(fmax(end[0].x, end[1].x))) - left;
    double h = fmin(frame->picture->height, ceil(fmax(end[0].y, end[1].y))) - top;
    if (ok && frame->warped)
        ok = bw_fail(err, BW_INPUT, "a part cannot be taken of a picture that is squared up");
    if (ok && (w < 64 || h < 64)) ok = bw_fail(err, BW_INPUT, "the part is under 64 pixels");
    if (!ok) {
        bw_err_within(err, "part");
        return false;
    }
    frame->x0 = (size_t)left;
    frame->y0 = (size_t)top;
    frame->width = (size_t)w;
    frame->height = (size_t)h;
    return true;
}

// Turns the frame so that a feed leaning by `skew` lies along its axis; the largest box of the same
// shape that stays inside.
static void turn(double skew, struct marks_frame *frame) {
    if (fabs(skew) < 1e-6) return;
    double w = (double)frame->width, h = (double)frame->height, c = cos(skew), s = sin(skew);
    double shrink = 1 / (c + fmax(w / h, h / w) * fabs(s));
    double before[9] = {1, 0, (double)frame->x0, 0, 1, (double)frame->y0, 0, 0, 1};
    if (frame->warped) memcpy(before, frame->map, sizeof before);
    double u = w * shrink / 2, v = h * shrink / 2;
    const double turned[9] = {c, -s, w / 2 - c * u + s * v, s, c, h / 2 - s * u - c * v, 0, 0, 1};
    multiply(before, turned, frame->map);
    frame->warped = true;
    frame->width = (size_t)(w * shrink);
    frame->height = (size_t)(h * shrink);
}

bool marks_frame_plain(struct bw_arena *arena, const struct bw_picture *picture,
                       struct marks_frame *out, struct bw_err *err) {
    float *room = bw_arena_array(arena, picture->width, sizeof *room);
    if (room == NULL) return bw_fail_memory(err);
    *out = (struct marks_frame){.picture = picture,
                                .width = picture->width,
                                .height = picture->height,
                                .pixel = BW_UNKNOWN,
                                .pitch_way = -1,
                                .room = room};
    return true;
}

bool marks_frame_make(struct bw_arena *arena, const struct marks_input *in, struct marks_frame *out,
                      struct bw_err *err) {
    struct marks_frame frame;
    if (!marks_frame_plain(arena, in->picture.content, &frame, err) || !scale(in, &frame, err) ||
        !cut(in, &frame, err))
        return false;
    turn(in->skew.v, &frame);
    *out = frame;
    return true;
}

// --- rows --------------------------------------------------------------------------------------

static void row(const void *context, size_t v, float *out) {
    const struct marks_frame *frame = context;
    if (frame->warped) {
        for (size_t u = 0; u < frame->width; u++)
            out[u] = marks_light(frame->picture, through(frame->map, (double)u, (double)v));
        return;
    }
    bw_picture_row(frame->picture, (uint32_t)(frame->y0 + v), frame->room);
    memcpy(out, frame->room + frame->x0, frame->width * sizeof *out);
}

struct bw_rows marks_frame_rows(const struct marks_frame *frame) {
    return (struct bw_rows){frame->width, frame->height, row, frame};
}

struct marks_point marks_frame_place(const struct marks_frame *frame, double u, double v) {
    if (frame->warped) return through(frame->map, u, v);
    return (struct marks_point){(double)frame->x0 + u, (double)frame->y0 + v};
}
