/* Every wish, once: its kind, its key in the plan file, how that is read, its sentence, how the
 * lineup program keeps it, how a finished lineup is checked, what it speaks of, and its words in a
 * sheet.
 *
 * WISH(kind, key, reader, sentence, rows, check, about, words...); in the sentence PLAYER and OTHER
 * stand for the players and VALUE for the number; the words are members of WishWords. core/plan.c
 * reads the first four, model/wishes.c the next three, core/wishsheet.c the rest, so that a new
 * wish is an entry here, a member of SxWishKind, and two functions in model/wishes.c. What the
 * search for the most sets makes of it, and what happens to it without a player, are switches over
 * all kinds: the compiler names them. */
WISH(SX_MUST_PLAY, "must_play", read_players, "PLAYER must play", rows_presence, check_plays,
     SX_ABOUT_PART, {"plays", "plays|play|mustplay|starts|start|muststart"}, NO_VALUE,
     .says = "she starts in the order, or is the libero", .json = "\"must_play\": [7]",
     .row = "7, plays")
WISH(SX_MUST_SIT, "must_sit", read_players, "PLAYER must sit", rows_presence, check_sits,
     SX_ABOUT_ORDER, {"sits", "sits|sit|mustsit|bench|out"}, NO_VALUE, .says = "she does not play",
     .json = "\"must_sit\": [7]", .row = "7, sits")
WISH(SX_FIXED_SLOT, "slots", read_slots, "PLAYER has slot VALUE of the serving order",
     rows_presence, check_slot, SX_ABOUT_ORDER,
     {"serves in rotation", "servesinrotation|serves|servesin|servingplace|slots"}, .low = 1,
     .high = SX_ROTATIONS,
     .says = "her place in the serving order (in a plan file, slot 0 serves in "
             "rotation 1)",
     .json = "\"slots\": [{\"player\": 7, \"slot\": 2}]", .row = "7, serves in rotation, , 3")
WISH(SX_OPPOSITE_PAIR, "opposite", read_pairs,
     "PLAYER and OTHER are opposite each other in the serving order", rows_opposite, check_opposite,
     SX_ABOUT_ORDER, {"opposite", "opposite|oppositeof|oppositeto"}, .whom = true, NO_VALUE,
     .says = "the two are opposite each other in the serving order",
     .json = "\"opposite\": [[7, 8]]", .row = "7, opposite, 8")
WISH(SX_NOT_ADJACENT, "not_adjacent", read_pairs,
     "PLAYER and OTHER are not neighbours in the serving order", rows_apart, check_apart,
     SX_ABOUT_ORDER | SX_ABOUT_PLAY,
     {"not next to", "notnextto|notadjacent|notbeside|awayfrom|apart"}, .whom = true, NO_VALUE,
     .says = "the two are no neighbours in the serving order", .json = "\"not_adjacent\": [[7, 8]]",
     .row = "7, not next to, 8")
WISH(SX_NEVER_PASSES, "never_pass", read_players, "PLAYER never passes", rows_passing,
     check_passing, SX_ABOUT_PLAY, {"never passes", "neverpasses|neverpass|nopass|doesnotpass"},
     NO_VALUE, .says = "she never receives the serve", .json = "\"never_pass\": [7]",
     .row = "7, never passes")
WISH(SX_ALWAYS_PASSES, "always_pass", read_players, "PLAYER passes whenever on court", rows_passing,
     check_passing, SX_ABOUT_PLAY, {"always passes", "alwayspasses|alwayspass"}, NO_VALUE,
     .says = "she receives the serve whenever she is on court", .json = "\"always_pass\": [7]",
     .row = "7, always passes")
WISH(SX_NOT_FRONT_ROW, "not_front_row", read_players, "PLAYER does not play in the front row",
     rows_not_front, check_not_front, SX_ABOUT_ORDER | SX_ABOUT_PLAY,
     {"not front row", "notfrontrow|notinfront|notinthefrontrow|backrowonly"}, NO_VALUE,
     .says = "she does not play in the front row", .json = "\"not_front_row\": [7]",
     .row = "7, not front row")
WISH(SX_NOT_BACK_ROW, "not_back_row", read_players,
     "PLAYER does not play in the back row, but may serve", rows_not_back, check_not_back,
     SX_ABOUT_PLAY, {"not back row", "notbackrow|notinback|notinthebackrow|frontrowonly"}, NO_VALUE,
     .says = "she leaves the back row to the libero or a specialist, but may "
             "serve",
     .json = "\"not_back_row\": [7]", .row = "7, not back row")
WISH(SX_MIN_ROTATIONS, "min_rotations", read_min_rotations,
     "PLAYER receives in at least VALUE rotationPLURAL", rows_rotations, check_rotations,
     SX_ABOUT_PART, {"at least", "atleast|minrotations|receivesatleast|rotations"}, .low = 0,
     .high = SX_ROTATIONS,
     .says = "in so many of the six rotations she is on court when we "
             "receive; who: a player, or everybody",
     .json = "\"min_rotations\": {\"7\": 3}", .row = "7, at least, , 3")
WISH(SX_LIBERO_FOR, "libero_for", read_players, "the libero comes in for PLAYER", rows_libero_for,
     check_libero_for, SX_ABOUT_PLAY, {"libero for", "liberofor|libero"}, NO_VALUE,
     .says = "the libero comes in for her", .json = "\"libero_for\": [7]", .row = "7, libero for")
WISH(SX_MAX_SUBSTITUTIONS, "max_substitutions", read_max_substitutions,
     "at most VALUE planned substitutionPLURAL in six rotations", rows_substitutions,
     check_substitutions, SX_ABOUT_ORDER,
     {"substitutions", "substitutions|maxsubstitutions|mostsubstitutions"}, .low = 0, .high = 12,
     .says = "so many planned substitutions in six rotations, at most; "
             "who stays empty",
     .json = "\"max_substitutions\": 2", .row = ", substitutions, , 2")
WISH(SX_MUST_SET, "must_set", read_players, "PLAYER is one of the setters", rows_must_set,
     check_sets, SX_ABOUT_ORDER, {"sets", "sets|set|mustset"}, NO_VALUE,
     .says = "she is one of the setters", .json = "\"must_set\": [7]", .row = "7, sets")
