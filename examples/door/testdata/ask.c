/* Asks from C: reads a document from standard input and prints the answer. */
#include <stdio.h>
#include <stdlib.h>

char *fitgeom_answer(const char *request); /* the answer is for free() */

int main(void) {
	size_t size = 0, n;
	char *request = malloc(1);
	char more[4096];
	while ((n = fread(more, 1, sizeof more, stdin)) > 0) {
		char *longer = realloc(request, size + n + 1);
		if (longer == NULL) return 1;
		request = longer;
		for (size_t i = 0; i < n; i++) request[size++] = more[i];
	}
	if (request == NULL) return 1;
	request[size] = '\0';
	char *answer = fitgeom_answer(request);
	fputs(answer, stdout);
	free(answer);
	free(request);
	return 0;
}
