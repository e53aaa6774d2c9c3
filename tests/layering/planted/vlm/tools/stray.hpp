#pragma once

#include <vlm/base/upward.hpp>
