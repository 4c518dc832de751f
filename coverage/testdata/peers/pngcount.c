//go:build ignore

/* pngcount: the ink of a gray PNG of one or eight bits, read row by row through
 * libpng, as a measure of speed for bladeline's own readers.
 *
 *   gcc -O3 -march=native -o tiffcount tiffcount.c -ltiff
 *   gcc -O3 -march=native -o pngcount pngcount.c -lpng
 *
 * Black is ink. Prints the ink (the sum of full less value) and the coverage in
 * per cent. */
#include <png.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The ones among the first n bits of a row. */
static uint64_t count_bits(const uint8_t *row, uint32_t n)
{
    uint64_t sum = 0, word;
    size_t bytes = n / 8, i = 0;

    for (; i + 8 <= bytes; i += 8) {
        memcpy(&word, row + i, 8);
        sum += __builtin_popcountll(word);
    }
    for (; i < bytes; i++)
        sum += __builtin_popcount(row[i]);
    if (n % 8)
        sum += __builtin_popcount(row[bytes] >> (8 - n % 8));
    return sum;
}

static uint64_t sum_bytes(const uint8_t *row, size_t n)
{
    uint64_t sum = 0;

    for (size_t i = 0; i < n; i++)
        sum += row[i];
    return sum;
}

static int fail(const char *file, const char *what)
{
    fprintf(stderr, "pngcount: %s: %s\n", file, what);
    return 1;
}

int main(int argc, char **argv)
{
    if (argc != 2) {
        fprintf(stderr, "usage: pngcount FILE\n");
        return 2;
    }
    FILE *f = fopen(argv[1], "rb");
    if (!f)
        return fail(argv[1], "cannot be opened");
    png_structp png = png_create_read_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
    png_infop info = png ? png_create_info_struct(png) : NULL;
    if (!info)
        return fail(argv[1], "no memory for libpng");
    if (setjmp(png_jmpbuf(png)))
        return fail(argv[1], "cannot be read");
    png_set_user_limits(png, 0x7fffffff, 0x7fffffff);
    png_init_io(png, f);
    png_read_info(png, info);

    uint32_t width = png_get_image_width(png, info), height = png_get_image_height(png, info);
    int bits = png_get_bit_depth(png, info);
    if (png_get_color_type(png, info) != PNG_COLOR_TYPE_GRAY || (bits != 1 && bits != 8)
        || png_get_interlace_type(png, info) != PNG_INTERLACE_NONE)
        return fail(argv[1], "not a kind that this program reads");

    uint8_t *row = malloc(png_get_rowbytes(png, info));
    if (!row)
        return fail(argv[1], "no memory for a row");
    uint64_t sum = 0;
    for (uint32_t y = 0; y < height; y++) {
        png_read_row(png, row, NULL);
        sum += bits == 1 ? count_bits(row, width) : sum_bytes(row, width);
    }
    png_read_end(png, NULL);
    uint64_t full = (uint64_t)width * height * ((1u << bits) - 1);
    printf("channel 1: ink %llu, coverage_pct %.9f\n", (unsigned long long)(full - sum),
           100.0 * (full - sum) / full);
    png_destroy_read_struct(&png, &info, NULL);
    free(row);
    fclose(f);
    return 0;
}
