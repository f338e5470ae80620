// What has moved apart from its surroundings between two pictures.
//
// Small squares of the earlier picture that changed are looked for in the later one. Neighbours that moved
// alike are one mover. One that spans more than half of the picture, or is the lesser part of what moved
// alike over so much of it, is a page, a wallpaper or a banner, and no one's; but a row of a list that goes
// up or down by itself may be dragged.
#pragma once

#include <vector>

#include "capture/video/model.hpp"

namespace paneproof::video {

struct Mover {
  Box box;                // in the earlier picture, px
  double dx = 0, dy = 0;  // px to the later one
  int squares = 0;
  bool with_page = false;  // moves as much else does
  struct Piece {
    int x, y, dx, dy;
  };
  std::vector<Piece> pieces;  // its squares: top left in the earlier picture and motion, px
};

// Half the size, the mean of each square of four.
void halve(const Plane& in, Plane& out);

// Both are reduced planes, `px` of the working planes to one of theirs; what is given back is in px of the
// working planes. `reach`: how far a square is looked for, px of theirs.
// Filmed: what moves alike is one mover however far apart, as the parts of a hand are.
std::vector<Mover> seek(const Plane& earlier, const Plane& later, int px, int reach, bool filmed);

// Filmed: the end of a hand that moves, with what it holds. `side`: from which of the picture's sides the
// hand comes (0 up, 1 right, 2 down, 3 left); the end is what lies farthest from it. Nothing of fewer than
// two squares.
Mover fingertip(const Mover& mover, int side, int px, double size);
// The side of the picture along which most changed.
int hand_side(const Plane& earlier, const Plane& later);

// Is a box as long as a row of a list and no higher, in a picture of this size?
bool is_row(const Box& box, int width, int height);

// The whole of what moves with a mover, from the pictures themselves: in the later one, px. Empty when it
// is no one thing: larger than 0.6 of the width, and no row that lies within the picture. As large as a card
// it may only seem so, and its own box is given.
Box whole_of(const Mover& mover, const Plane& earlier, const Plane& later);

}  // namespace paneproof::video
