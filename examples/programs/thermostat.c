/* On and off around the setpoint, as firmware would do it: whole numbers from a converter, a thermistor's table, no
 * floating point. Needs nothing but the standard library: cc -o thermostat thermostat.c
 *
 * It knows two of the simulation's names, `main` and `relay heater`: firmware has its pins, not a list of names. */

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Counts of a 12 bit converter behind a 10 kilohm thermistor, beta 3950 K, and 10 kilohm: fewer when warmer. */
#define COUNTS_AT_24_8_C 2057
#define COUNTS_AT_25_2_C 2039
#define BROKEN_WIRE 4095

int main(void) {
    static char line[20000];
    int heating = 0;

    if (!fgets(line, sizeof line, stdin))
        return 1;
    puts("{\"protocol\":1}");
    fflush(stdout);
    while (fgets(line, sizeof line, stdin)) {
        const char *reading = strstr(line, "\"main\":");
        long counts = reading ? strtol(reading + strlen("\"main\":"), NULL, 10) : BROKEN_WIRE;

        if (counts >= BROKEN_WIRE || counts <= COUNTS_AT_25_2_C)
            heating = 0;
        else if (counts >= COUNTS_AT_24_8_C)
            heating = 1;
        printf("{\"contacts\":{\"relay heater\":%s}}\n", heating ? "true" : "false");
        fflush(stdout);
    }
    return 0;
}
