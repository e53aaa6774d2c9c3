/* A program of a stranger in C: does it run with the library of the headers and files that it was built with?
 */
#include <stdio.h>
#include <string.h>

#include <vlm/vlm.h>

int main(void) {
  printf("version %s, found %s\n", vlm_version(), EXPECTED_VERSION);
  return strcmp(vlm_version(), EXPECTED_VERSION) != 0;
}
