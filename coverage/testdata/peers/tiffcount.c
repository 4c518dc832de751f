//go:build ignore

/* tiffcount: the ink of a TIFF, read row by row through libtiff, as a measure
 * of speed for bladeline's own readers.
 *
 *   gcc -O3 -march=native -o tiffcount tiffcount.c -ltiff
 *   gcc -O3 -march=native -o pngcount pngcount.c -lpng
 *
 * One or eight bits a sample, strips, samples side by side. Prints the ink of
 * every sample (the sum of its values, turned round for BlackIsZero) and the
 * coverage in per cent. */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <tiffio.h>

enum { MAX_SAMPLES = 32 };

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

/* Adds every sample of a row to its own sum; four samples in registers. */
static void sum_samples(const uint8_t *row, uint32_t width, uint16_t samples, uint64_t *sums)
{
    if (samples == 1) {
        sums[0] += sum_bytes(row, width);
        return;
    }
    if (samples == 4) {
        uint64_t a = 0, b = 0, c = 0, d = 0;
        for (uint32_t x = 0; x < width; x++, row += 4) {
            a += row[0];
            b += row[1];
            c += row[2];
            d += row[3];
        }
        sums[0] += a;
        sums[1] += b;
        sums[2] += c;
        sums[3] += d;
        return;
    }
    for (uint32_t x = 0; x < width; x++)
        for (uint16_t s = 0; s < samples; s++)
            sums[s] += *row++;
}

static int fail(const char *file, const char *what)
{
    fprintf(stderr, "tiffcount: %s: %s\n", file, what);
    return 1;
}

int main(int argc, char **argv)
{
    uint32_t width = 0, height = 0;
    uint16_t bits = 1, samples = 1, photometric = 0, planar = PLANARCONFIG_CONTIG;
    uint64_t sums[MAX_SAMPLES] = {0};

    if (argc != 2) {
        fprintf(stderr, "usage: tiffcount FILE\n");
        return 2;
    }
    TIFF *tif = TIFFOpen(argv[1], "r");
    if (!tif)
        return 1;
    TIFFGetField(tif, TIFFTAG_IMAGEWIDTH, &width);
    TIFFGetField(tif, TIFFTAG_IMAGELENGTH, &height);
    TIFFGetFieldDefaulted(tif, TIFFTAG_BITSPERSAMPLE, &bits);
    TIFFGetFieldDefaulted(tif, TIFFTAG_SAMPLESPERPIXEL, &samples);
    TIFFGetFieldDefaulted(tif, TIFFTAG_PLANARCONFIG, &planar);
    TIFFGetField(tif, TIFFTAG_PHOTOMETRIC, &photometric);
    if (TIFFIsTiled(tif) || planar != PLANARCONFIG_CONTIG || samples > MAX_SAMPLES
        || (bits != 8 && (bits != 1 || samples != 1)))
        return fail(argv[1], "not a kind that this program reads");

    uint8_t *row = malloc(TIFFScanlineSize(tif));
    if (!row)
        return fail(argv[1], "no memory for a row");
    for (uint32_t y = 0; y < height; y++) {
        if (TIFFReadScanline(tif, row, y, 0) < 0)
            return fail(argv[1], "a row cannot be read");
        if (bits == 1)
            sums[0] += count_bits(row, width);
        else
            sum_samples(row, width, samples, sums);
    }
    uint64_t full = (uint64_t)width * height * ((1u << bits) - 1);
    for (uint16_t s = 0; s < samples; s++) {
        uint64_t ink = photometric == PHOTOMETRIC_MINISBLACK ? full - sums[s] : sums[s];
        printf("channel %d: ink %llu, coverage_pct %.9f\n", s + 1,
               (unsigned long long)ink, 100.0 * ink / full);
    }
    free(row);
    TIFFClose(tif);
    return 0;
}
