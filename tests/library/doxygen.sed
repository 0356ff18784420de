# A header's plain comments as Doxygen's: the first is the file's, one behind a declaration belongs to
# that, any other to what follows.
s/[@\\]/\\&/g
1s|^/\* |/** @file\n * |
/^\/\* /s|^/\*|/**|
/^ \+\/\* /s|/\*|/**|
s|\([;,{}a-zA-Z0-9)"]\) \+/\* |\1 /**< |
