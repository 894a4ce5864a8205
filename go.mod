module github.com/vinylgeom/vinyl

go 1.26.0

require (
	github.com/go-fonts/liberation v0.3.3
	github.com/go-pdf/fpdf v0.9.0
	github.com/go-text/typesetting v0.3.5
	github.com/go-text/typesetting-utils v0.0.0-20260419141703-4ffe8874dabc
	github.com/golang/freetype v0.0.0-20170609003504-e2365dfdc4a0
	github.com/paulmach/orb v0.14.0
	github.com/peterstace/simplefeatures v0.59.0
	github.com/schollz/progressbar/v3 v3.19.1
	github.com/shopspring/decimal v1.4.0
	github.com/srwiley/oksvg v0.0.0-20221011165216-be6e8873101c
	github.com/stretchr/testify v1.12.1
	github.com/tidwall/rtree v1.10.0
	golang.org/x/image v0.47.0
	golang.org/x/sync v0.25.0
	golang.org/x/term v0.47.0
	golang.org/x/text v0.44.0
	gonum.org/v1/gonum v0.17.0
)

require (
	github.com/BurntSushi/toml v1.4.1-0.20240526193622-a339e1f7089c // indirect
	github.com/mitchellh/colorstring v0.0.0-20190213212951-d06e56a500db // indirect
	github.com/rivo/uniseg v0.4.7 // indirect
	github.com/srwiley/rasterx v0.0.0-20210519020934-456a8d69b780 // indirect
	github.com/tidwall/geoindex v1.7.0 // indirect
	go.yaml.in/yaml/v3 v3.0.5 // indirect
	golang.org/x/exp/typeparams v0.0.0-20231108232855-2478ac86f678 // indirect
	golang.org/x/mod v0.42.0 // indirect
	golang.org/x/net v0.61.0 // indirect
	golang.org/x/sys v0.49.0 // indirect
	golang.org/x/tools v0.52.0 // indirect
	honnef.co/go/tools v0.8.2 // indirect
)

tool honnef.co/go/tools/cmd/staticcheck
