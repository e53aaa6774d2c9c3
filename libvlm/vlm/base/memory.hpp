#pragma once

#include <cstddef>

namespace vlm {

/// Throws Error if so many bytes, for so many unknowns, are more than the machine has free, naming all three.
/// What the system could free at once counts as free.
void check_memory(std::size_t num_unknowns, double num_bytes);

/// Asks the system to back memory that is about to be filled for the first time with huge pages, where it has
/// them: one fault a page costs more than filling it. Of no effect on what stands in it.
void prefer_huge_pages(void* memory, std::size_t num_bytes);

} // namespace vlm
