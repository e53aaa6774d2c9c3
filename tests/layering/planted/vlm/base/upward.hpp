#pragma once

#include <vlm/flow/helper.hpp>
