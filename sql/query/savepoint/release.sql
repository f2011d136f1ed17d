-- Keep what was done since the savepoint and forget the savepoint.
-- returns nothing
release savepoint here;
