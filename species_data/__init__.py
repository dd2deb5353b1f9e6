"""Published values of woods and tubes; read only by `shaftcheck.border.woods`."""
