package store

import (
	"context"
	"database/sql"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// rules returns the tables, indexes, triggers and views of a database by name, but for
// the indexes that SQLite makes itself.
func rules(ctx context.Context, from querier) (map[string]string, error) {
	return pairs(ctx, from, `SELECT type || ' ' || name, sql FROM sqlite_schema WHERE sql IS NOT NULL`)
}

// pairs returns the rows of a query for two texts.
func pairs(ctx context.Context, from querier, query string) (map[string]string, error) {
	rows, err := from.QueryContext(ctx, query)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	all := map[string]string{}
	for rows.Next() {
		var name, text string
		if err := rows.Scan(&name, &text); err != nil {
			return nil, err
		}
		all[name] = text
	}
	return all, rows.Err()
}

// newSchema returns a database in memory as the scripts make it.
func newSchema(ctx context.Context, formats []string) (*sql.DB, error) {
	pool := connect(":memory:", aside)
	pool.SetMaxOpenConns(1) // each connection has a database of its own
	if _, err := pool.ExecContext(ctx, strings.Join(formats, "\n")); err != nil {
		pool.Close()
		return nil, err
	}
	return pool, nil
}

// strangeRules says, one sentence each, in what the rules of a database differ
// from those that the scripts make.
func strangeRules(ctx context.Context, from querier, formats []string) ([]string, error) {
	sample, err := newSchema(ctx, formats)
	if err != nil {
		return nil, err
	}
	defer sample.Close()
	want, err := rules(ctx, sample)
	if err != nil {
		return nil, err
	}
	got, err := rules(ctx, from)
	if err != nil {
		return nil, err
	}
	var strange []string
	for _, name := range slices.Sorted(maps.Keys(want)) {
		if got[name] != want[name] {
			strange = append(strange, fmt.Sprintf("the %s that belongs to the log is missing or was changed", name))
		}
	}
	for _, name := range slices.Sorted(maps.Keys(got)) {
		if _, known := want[name]; !known {
			strange = append(strange, fmt.Sprintf("the %s is none of the log's", clean(name, maxName)))
		}
	}
	return strange, nil
}
