-- Mark a point in the transaction to come back to.
-- returns nothing
savepoint here;
